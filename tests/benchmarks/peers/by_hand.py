# SPDX-License-Identifier: MIT
"""The charge balance with Davies' equation, written for these acids, and SciPy's root finders.

Plain floats: for ten steps of dissociation they are faster than arrays.
"""
import math

from scipy.optimize import brentq, fsolve

from six_acids import ACIDS, DAVIES_A, PKW, SODIUM
from timing import seconds

KW = 10**-PKW
CONSTANTS = [(acid.molality, acid.charge, [10**-pK for pK in acid.pK]) for acid in ACIDS]


def charge_and_ionic_strength(pH, ionic_strength):
    root = math.sqrt(abs(ionic_strength))
    gamma = 10 ** (-DAVIES_A * (root / (1 + root) - 0.3 * abs(ionic_strength)))
    h = 10**-pH
    hydrogen, hydroxide = h / gamma, KW / (h * gamma)
    charge, ionic = SODIUM + hydrogen - hydroxide, SODIUM + hydrogen + hydroxide
    for molality, z, steps in CONSTANTS:
        form = total = 1.0
        z_sum, z2_sum = z, z * z
        for K in steps:
            form *= K / h * gamma ** (2 * z - 1)
            z -= 1
            total += form
            z_sum += z * form
            z2_sum += z * z * form
        charge += molality * z_sum / total
        ionic += molality * z2_sum / total
    return charge, ionic / 2


def nested():
    """A bracketed root for the pH; at each pH the ionic strength is repeated until it stands."""
    ionic_strength = 0.1

    def charge(pH):
        nonlocal ionic_strength
        while True:
            still_open, found = charge_and_ionic_strength(pH, ionic_strength)
            if abs(found - ionic_strength) < 1e-10:
                return still_open
            ionic_strength = found

    return brentq(charge, 0, 14)


def both_at_once():
    """pH and ionic strength as two unknowns, started at the ideal pH: from pH 7 none is found."""

    def still_open(unknowns):
        charge, found = charge_and_ionic_strength(*unknowns)
        return charge, found - unknowns[1]

    ideal = brentq(lambda pH: charge_and_ionic_strength(pH, 0)[0], 0, 14, xtol=0.01)
    start = ideal, charge_and_ionic_strength(ideal, 0)[1]
    return float(fsolve(still_open, start)[0])


def measure(solve):
    """Seconds a solve and the pH."""
    return seconds(solve, 100), solve()
