# SPDX-License-Identifier: MIT
"""The six acids as the peers get them, read from the reference tables of the chemistry tests."""
import csv
import pathlib

DATA = pathlib.Path(__file__).parents[2] / "chemistry" / "data"


def rows(name):
    with open(DATA / name, encoding="utf-8", newline="") as file:
        yield from csv.DictReader(file)


def reference(model):
    """The reference's row for an activity model ("davies" or "ideal")."""
    return next(r for r in rows("engine_reference.csv") if (r["id"], r["model"]) == ("S096", model))


class Acid:
    """Name, charge of the fully protonated form, pK of every step, mol/kg."""

    def __init__(self, name, molality):
        steps = [r for r in rows("engine_reference_constants.csv") if r["substance"] == name]
        self.name = name
        self.charge = int(steps[0]["charge_of_protonated_form"])
        self.pK = [float(step["pK"]) for step in steps]
        self.molality = molality


ROW = reference("davies")
TOTALS = {name: float(value) for name, value in (t.split("=") for t in ROW["totals_mol_per_kg"].split())}
SODIUM = TOTALS.pop("Na")
ACIDS = [Acid(name, molality) for name, molality in TOTALS.items()]
PKW = float(ROW["pKw"])
DAVIES_A = float(ROW["debye_huckel_A"])
PH = {model: float(reference(model)["pH"]) for model in ("davies", "ideal")}
