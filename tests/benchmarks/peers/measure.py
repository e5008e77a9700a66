# SPDX-License-Identifier: MIT
"""Times general programs on the six acids and checks the pH that each finds.

usage: measure.py OUTPUT.json
"""
import json
import sys
import warnings

import by_hand
import geochemical_engine
import packages
from six_acids import PH

# Key, what it is, activity model, how to measure it, how near it must come to the reference.
PEERS = [
    ("engine", "PHREEQC, a geochemical engine", "davies", geochemical_engine.measure, 1e-8),
    ("nested", "charge balance by hand, SciPy's `brentq`", "davies",
     lambda: by_hand.measure(by_hand.nested), 1e-8),
    ("at-once", "charge balance by hand, SciPy's `fsolve`", "davies",
     lambda: by_hand.measure(by_hand.both_at_once), 1e-8),
    ("ph-package", "pHcalc, a pH package", "ideal", packages.ph_package, 1e-5),
    ("equilibrium-package", "chempy, an equilibrium package", "ideal", packages.equilibrium_package, 1e-8),
]


def measured(key, name, model, measure, tolerance):
    seconds, pH = measure()
    if not abs(pH - PH[model]) < tolerance:
        sys.exit(f"{name}: pH {pH} instead of {PH[model]}")
    return {"key": key, "name": name, "model": model, "seconds": seconds, "pH": pH}


if __name__ == "__main__":
    warnings.simplefilter("ignore")  # chempy's, of what it will give up one day
    results = [measured(*peer) for peer in PEERS]
    with open(sys.argv[1], "w", encoding="utf-8") as file:
        json.dump(results, file, indent=1)
