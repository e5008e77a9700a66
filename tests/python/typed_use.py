# SPDX-License-Identifier: MIT
"""Read by mypy, never run: what a caller's type checker must accept."""

from __future__ import annotations

import pathlib

import counterion
from counterion import Formula, Protolyte, Solution, ions


def pH_of_citrate() -> float:
    citric = Protolyte(charge=0, pK=[3.128, 4.761, 6.396])
    return Solution([(citric, 0.05), (ions.sodium, 0.1)], activity="davies").pH


def grams(path: pathlib.Path) -> list[float]:
    result = counterion.check(path, batch_g=500, adjusters=["citric-acid"])
    return [adjustment.grams for adjustment in result.adjustments if adjustment.grams is not None]


def formulas() -> list[Formula]:
    return [Formula("cream.csv"), Formula({"Urea": 5, "Water": "q.s."}), Formula([("Urea", 5), ("Water", 95.0)])]


def faults(text: str) -> list[str]:
    try:
        Formula.from_text(text)
    except counterion.BadInput as error:
        return [problem.found for problem in error.problems]
    return []
