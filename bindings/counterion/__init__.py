# SPDX-License-Identifier: MIT
"""The pH that a skin-care formula needs, will have, and what to weigh to get there.

`check` answers for a formula; `Solution` is the chemistry alone, without any tables.
Plain floats everywhere; the unit is in the name or in the text, pH is on the activity scale.

This is neither a safety nor a legal assessment: a qualified assessor, the law of the place and a
challenge test decide.
"""

from . import ions
from ._core import (
    Adjustment,
    CheckedLimit,
    CheckResult,
    Conflict,
    Diagnostic,
    Dose,
    DriverEffect,
    FiredCaution,
    Formula,
    FormulaItem,
    Ingredient,
    NotJudged,
    Place,
    Prediction,
    PreservativeState,
    Problem,
    Protolyte,
    Provenance,
    Solution,
    Source,
    Stage,
    StrongIon,
    Tables,
    Validity,
    Water,
    Window,
    WorkingRange,
    __version__,
    activity_names,
    check,
    dose_for,
    water_activity_names,
)
from ._errors import BadInput, Error, UnknownIngredient

__all__ = [
    "Adjustment",
    "BadInput",
    "CheckResult",
    "CheckedLimit",
    "Conflict",
    "Diagnostic",
    "Dose",
    "DriverEffect",
    "Error",
    "FiredCaution",
    "Formula",
    "FormulaItem",
    "Ingredient",
    "NotJudged",
    "Place",
    "Prediction",
    "PreservativeState",
    "Problem",
    "Protolyte",
    "Provenance",
    "Solution",
    "Source",
    "Stage",
    "StrongIon",
    "Tables",
    "UnknownIngredient",
    "Validity",
    "Water",
    "Window",
    "WorkingRange",
    "__version__",
    "activity_names",
    "check",
    "dose_for",
    "ions",
    "water_activity_names",
]
