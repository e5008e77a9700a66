# SPDX-License-Identifier: MIT
"""The examples of the documentation run."""

import doctest
import importlib

import pytest


@pytest.mark.parametrize("name", ["_core", "_errors", "ions"])
def test_examples_give_what_they_show(name):
    module = importlib.import_module(f"counterion.{name}")
    outcome = doctest.testmod(module, optionflags=doctest.NORMALIZE_WHITESPACE)
    assert outcome.failed == 0
    assert outcome.attempted > 0


def test_every_public_name_is_documented():
    import counterion

    for name in counterion.__all__:
        thing = getattr(counterion, name)
        if isinstance(thing, (str, tuple)):
            continue
        assert thing.__doc__, name
        for member, value in vars(thing).items() if isinstance(thing, type) else ():
            if isinstance(value, property):
                assert value.__doc__, f"{name}.{member}"
