# SPDX-License-Identifier: MIT
"""PHREEQC (U.S. Geological Survey): many solutions in one run, so that the start is no part of the time."""
from phreeqpython.viphreeqc import VIPhreeqc

from six_acids import ACIDS, PKW, SODIUM
from timing import seconds

WATER = f"""
SOLUTION_MASTER_SPECIES
E    e-  0 0 0
H    H+ -1 H 1.008
H(0) H2  0 H
H(1) H+ -1 0
Na   Na+ 0 Na 22.99
O    H2O 0 O 16
O(0) O2  0 O
O(-2) H2O 0 0
SOLUTION_SPECIES
H+ = H+
e- = e-
H2O = H2O
Na+ = Na+
H2O = OH- + H+; log_k -{PKW}
2 H2O = O2 + 4 H+ + 4 e-; log_k -86.08
2 H+ + 2 e- = H2; log_k -3.15
"""


def form(acid, protons):
    """How the engine writes the form that has so many protons, and its charge."""
    charge = acid.charge - len(acid.pK) + protons
    hydrogen = ("", "H", f"H{protons}")[min(protons, 2)]
    return hydrogen + acid.name + (f"{charge:+d}" if charge else ""), charge


def equations(acid):
    base, _ = form(acid, 0)
    yield f"{base} = {base}"
    for protons in range(1, len(acid.pK) + 1):
        name, charge = form(acid, protons)
        # A charged form gets Davies' equation; a neutral one would get a coefficient of its own.
        coefficient = "" if charge else "; -gamma 0 0"
        yield f"{base} + {protons} H+ = {name}; log_k {sum(acid.pK[-protons:])}{coefficient}"


def database():
    masters = [f"{acid.name} {form(acid, 0)[0]} 0 {acid.name} 100" for acid in ACIDS]
    species = [line for acid in ACIDS for line in equations(acid)]
    return "\n".join([WATER, "SOLUTION_MASTER_SPECIES", *masters, "SOLUTION_SPECIES", *species, "END", ""])


def solutions(count):
    totals = "".join(f"{acid.name} {acid.molality}\n" for acid in ACIDS)
    blocks = [f"SOLUTION {number}\nunits mol/kgw\ntemp 25\npH 7 charge\nNa {SODIUM}\n{totals}"
              for number in range(1, count + 1)]
    return "PRINT\n-reset false\n" + "".join(blocks) + "END\n"


def measure():
    """Seconds a solution and the pH of the last."""
    program = VIPhreeqc()
    program.load_database_string(database())
    few, many = 100, 1100
    start = seconds(lambda text=solutions(few): program.run_string(text))
    whole = seconds(lambda text=solutions(many): program.run_string(text))
    return (whole - start) / (many - few), program.get_ph(many)
