# SPDX-License-Identifier: MIT
"""What counterion raises on purpose; the compiled part raises these too."""

from __future__ import annotations

import collections.abc

from ._core import Problem

__all__ = ["BadInput", "Error", "UnknownIngredient"]


class Error(Exception):
    """Base of everything that counterion raises on purpose."""


class BadInput(Error, ValueError):
    """An input that cannot be used; carries every fault that was found, not only the first.

    Parameters
    ----------
    problems : iterable of Problem
        The faults, in the order of the input.

    Examples
    --------
    >>> import counterion
    >>> try:
    ...     counterion.Formula([("Water", "q.s."), ("Urea", -3), ("Glycerin", "much")])
    ... except counterion.BadInput as error:
    ...     print(len(error.problems))
    2
    """

    problems: tuple[Problem, ...]

    def __init__(self, problems: collections.abc.Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(self.problems)

    def __str__(self) -> str:
        """All faults, one a line."""
        return "\n".join(str(problem) for problem in self.problems)


class UnknownIngredient(Error, KeyError):
    """A name that no table knows.

    Parameters
    ----------
    name : str
        The name as it was written.
    suggestions : iterable of str
        The nearest names that the tables do know, best first.

    Examples
    --------
    >>> import counterion
    >>> try:
    ...     counterion.Tables.built_in()["glicerin"]
    ... except counterion.UnknownIngredient as error:
    ...     print(error.suggestions[0])
    Glycerin
    """

    name: str
    suggestions: tuple[str, ...]

    def __init__(self, name: str, suggestions: collections.abc.Iterable[str] = ()) -> None:
        self.name = name
        self.suggestions = tuple(suggestions)
        super().__init__(self.name, self.suggestions)

    def __str__(self) -> str:
        """The fault as one line; a KeyError's own text would be a bare tuple."""
        found = f"no ingredient is called '{self.name}'"
        return str(Problem(found=found, suggestions=self.suggestions))
