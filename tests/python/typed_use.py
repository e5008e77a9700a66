# SPDX-License-Identifier: MIT
"""Read by mypy, never run: what a caller's type checker must accept."""

from __future__ import annotations

import pathlib

import counterion
from counterion import (
    AcidPolymer,
    Formula,
    Interactions,
    NeutralForm,
    Protolyte,
    Solution,
    Tables,
    hydrogen_ion,
    ions,
    shared_with_oil,
    titration_curve,
)


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


def cream() -> Solution:
    benzoic = Protolyte(charge=0, pK=[4.2])
    return Solution(
        [(benzoic, 0.02, shared_with_oil(5, 0.25)), (AcidPolymer(), 0.05), (ions.sodium, 0.03)],
        activity="specific-ion",
        interactions=Tables.built_in().interactions,
    )


def slopes(solution: Solution) -> list[float]:
    return [solution.by_amount(0).pH, solution.by_pK(0, 0).pH, solution.by_temperature().ionic_strength]


def amounts(solution: Solution) -> list[float | None]:
    crystals = NeutralForm(solubility=0.01)
    brings = [(Protolyte(charge=0, pK=[4.2]), 1.0, crystals)]
    return [point.amount for point in titration_curve(solution, brings, [4, 4.5, 5], water_g=10)]


def not_dissolved(formula: Formula) -> list[str]:
    prediction = counterion.check(formula, activity="specific-ion").prediction
    return [substance.name for substance in prediction.saturated] if prediction else []


def is_listed(interactions: Interactions) -> bool:
    return interactions.knows(hydrogen_ion, counterion.Ion("chloride", -1)) or len(interactions) == 0


def next_addition(formula: Formula, log: pathlib.Path) -> float | None:
    answer = counterion.adjust(formula, readings=log, adjusters=["citric acid 20 %"], hold={"acid_mmol_per_kg": 5})
    return answer.plan.additions[0].grams if answer.plan and answer.plan.additions else None


def surprises() -> list[float]:
    answer = counterion.predict(
        "cream.csv",
        Tables.built_in(),
        readings=[11.8, (5.1, [("citric acid 20 %", 25.7), (("lactic acid", 80.0), 3)]), {"pH": 4.6, "added": []}],
        draws=1024,
    )
    return [reading.surprise for reading in answer.readings]


def buffering(path: pathlib.Path) -> tuple[float, float] | None:
    learned = counterion.titrate(path, [11.6, (6.0, [("citric-acid 10 %", 0.8)])], 50, batch_g=2000).extra_buffer_mmol_per_kg
    return (learned.low, learned.high) if learned else None


def median(path: pathlib.Path) -> float | None:
    distribution = counterion.predict(path).distribution
    return distribution.quantile(0.5) if distribution else None


def leaves_after(path: pathlib.Path) -> float | None:
    answer = counterion.predict(path, readings=[4.6, {"pH": 4.4, "age_days": 7}], storage=[(84, 40), (0, 25)])
    drift = answer.drift
    if drift is None or not all(reading.as_expected for reading in answer.series):
        return None
    falls: list[float] = [cause.shift_pH for cause in drift.causes] + [point.low_pH for point in drift.points]
    shelf: list[float] = [time.high_days for stay in drift.warm_stays for time in stay.at_25_celsius]
    return drift.leaves_after_days if falls and shelf else drift.follow_ups[0].days
