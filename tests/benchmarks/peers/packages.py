# SPDX-License-Identifier: MIT
"""Python packages for pH and for equilibria; both know ideal solutions only."""
import math

import numpy
from chempy import Equilibrium, Species
from chempy.equilibria import EqSystem, NumSysLog

from six_acids import ACIDS, PKW, SODIUM
from timing import seconds

if not hasattr(numpy, "cumproduct"):  # pHcalc calls it by the name that it had before NumPy 2
    numpy.cumproduct = numpy.cumprod
from pHcalc.pHcalc import Acid, Inert, System

KW = 10**-PKW
WATER = 55.4  # mol/kg
CHARGE, HYDROGEN, OXYGEN, SODIUM_ATOM, FIRST_ACID = 0, 1, 8, 11, 200


def ph_package():
    """pHcalc: seconds a solve and the pH."""
    acids = [Acid(pKa=acid.pK, charge=acid.charge, conc=acid.molality) for acid in ACIDS]
    system = System(*acids, Inert(charge=1, conc=SODIUM), Kw=KW)
    return seconds(system.pHsolve, 3), float(system.pH)


def substances():
    yield Species("H2O", composition={HYDROGEN: 2, OXYGEN: 1})
    yield Species("H+", composition={CHARGE: 1, HYDROGEN: 1})
    yield Species("OH-", composition={CHARGE: -1, HYDROGEN: 1, OXYGEN: 1})
    yield Species("Na+", composition={CHARGE: 1, SODIUM_ATOM: 1})
    for element, acid in enumerate(ACIDS, FIRST_ACID):
        for lost in range(len(acid.pK) + 1):
            held = {CHARGE: acid.charge - lost, HYDROGEN: len(acid.pK) - lost, element: 1}
            yield Species(f"{acid.name}{lost}", composition=held)


def reactions():
    yield Equilibrium({"H2O": 1}, {"H+": 1, "OH-": 1}, KW / WATER)
    for acid in ACIDS:
        for lost, pK in enumerate(acid.pK):
            gone = {f"{acid.name}{lost + 1}": 1, "H+": 1}
            yield Equilibrium({f"{acid.name}{lost}": 1}, gone, 10**-pK)


def start(names):
    """Every acid whole; what charge is then open, hydroxide closes."""
    hydroxide = SODIUM + sum(acid.charge * acid.molality for acid in ACIDS)
    known = {"H2O": WATER, "Na+": SODIUM, "OH-": hydroxide, **{f"{a.name}0": a.molality for a in ACIDS}}
    return {name: known.get(name, 0) for name in names}


def equilibrium_package():
    """chempy: seconds a solve and the pH; its equations are made ready before."""
    system = EqSystem(list(reactions()), {substance.name: substance for substance in substances()})
    ready = system.get_neqsys("chained_conditional", NumSys=NumSysLog)
    first = start(system.substances)
    found, _, _ = system.root(first, neqsys=ready)
    hydrogen = found[system.as_substance_index("H+")]
    return seconds(lambda: system.root(first, neqsys=ready), 3), -math.log10(hydrogen)
