# SPDX-License-Identifier: MIT
"""The chemistry floor as Python sees it."""

import copy
import math
import pickle

import pytest
from conftest import rows

import counterion
from counterion import Protolyte, Solution, StrongIon, Water, dose_for, ions

BENZOIC = Protolyte(charge=0, pK=[4.202], name="benzoic acid")
CITRIC = Protolyte(charge=0, pK=[3.128, 4.761, 6.396], name="citric acid")


def test_benzoic_acid_is_half_undissociated_where_pH_equals_pK():
    strong = Solution([(BENZOIC, 0.02)], activity="ideal").strong_charge_for(4.202)
    solution = Solution([(BENZOIC, 0.02)], strong_charge=strong, activity="ideal")
    assert solution.pH == pytest.approx(4.202, abs=1e-9)
    assert solution.shares(0) == pytest.approx((0.5, 0.5), abs=1e-9)


def test_pure_water_is_neutral():
    assert Solution([]).pH == pytest.approx(Water.at(25).pKw / 2, abs=1e-3)


def reference_systems():
    """Constants of the engine reference by short name; each row carries its source."""
    ladders = {}
    for row in rows("engine_reference_constants.csv"):
        ladders.setdefault(row["substance"], []).append(row)
    return {
        name: Protolyte(
            charge=int(steps[0]["charge_of_protonated_form"]),
            pK=[float(step["pK"]) for step in steps],
            dH_kJ_per_mol=[float(step["dH_kJ_per_mol"]) for step in steps],
            dCp_J_per_mol_K=[float(step["dCp_J_per_mol_K"]) for step in steps],
            ion_size_angstrom=[
                float(steps[0]["ion_size_of_protonated_form_angstrom"]),
                *(float(step["ion_size_of_other_form_angstrom"]) for step in steps),
            ],
        )
        for name, steps in ladders.items()
        if steps[0]["pK"]
    }


def reference_solution(row, systems):
    inert = {"Na": StrongIon("Na", 1, 4), "K": StrongIon("K", 1, 3), "Cl": StrongIon("Cl", -1, 3)}
    totals = (total.split("=") for total in row["totals_mol_per_kg"].split())
    slopes = [float(row["debye_huckel_A"]), float(row["debye_huckel_B_per_angstrom"])]
    return Solution(
        [(inert.get(name) or systems[name], float(amount)) for name, amount in totals],
        temperature_celsius=float(row["temperature_celsius"]),
        activity={"edh": "extended-debye-huckel"}.get(row["model"], row["model"]),
        water=Water(float(row["pKw"]), *slopes, water_activity="linear"),
    )


def test_pH_is_that_of_the_engine_reference():
    """Rows beyond 0.5 mol/kg are left out: Davies' term is held constant there on purpose."""
    systems = reference_systems()
    seen = 0
    for row in rows("engine_reference.csv"):
        if row["kind"] != "pH" or float(row["ionic_strength_mol_per_kg"]) > 0.499:
            continue
        assert reference_solution(row, systems).pH == pytest.approx(float(row["pH"]), abs=1e-6), row["id"]
        seen += 1
    assert seen >= 40


def test_titrants_are_those_of_the_engine_reference():
    systems = reference_systems()
    seen = 0
    for row in rows("engine_reference.csv"):
        if row["kind"] != "Na_titrant" or float(row["ionic_strength_mol_per_kg"]) > 0.499:
            continue
        solution = reference_solution(row, systems)
        expected = float(row["strong_base_mol_per_kg"])
        assert solution.strong_charge_for(float(row["pH"])) == pytest.approx(expected, rel=1e-6), row["id"]
        seen += 1
    assert seen >= 5


def test_an_amount_put_in_and_solved_again_lands_on_the_target():
    acid = Solution([(CITRIC, 0.05)], strong_charge=0.02)
    amount = acid.amount_for(0, 4.0)
    again = Solution([(CITRIC, amount)], strong_charge=0.02)
    assert again.pH == pytest.approx(4.0, abs=1e-8)
    assert Solution([(CITRIC, 0.05)]).amount_for(0, 9.0) is None


def test_a_dose_put_in_and_solved_again_lands_on_the_target():
    solution = Solution([(BENZOIC, 0.02)])
    dose = dose_for(solution, [(ions.sodium, 1)], 4.5)
    assert Solution([(BENZOIC, 0.02), (ions.sodium, dose.amount)]).pH == pytest.approx(4.5, abs=1e-8)


def test_an_acid_cannot_raise_the_pH():
    dose = dose_for(Solution([(BENZOIC, 0.02)]), [(CITRIC, 1)], 6.0)
    assert dose.amount is None
    assert dose.reachable_end < 3


def test_strong_charge_is_shorthand_for_sodium_and_chloride():
    with_ion = Solution([(BENZOIC, 0.02), (ions.sodium, 0.01)])
    assert Solution([(BENZOIC, 0.02)], strong_charge=0.01).pH == pytest.approx(with_ion.pH, abs=1e-12)
    with_ion = Solution([(BENZOIC, 0.02), (ions.chloride, 0.01)])
    assert Solution([(BENZOIC, 0.02)], strong_charge=-0.01).pH == pytest.approx(with_ion.pH, abs=1e-12)


def test_validity_says_why_not():
    assert Solution([(ions.sodium, 0.1), (ions.chloride, 0.1)]).validity
    concentrated = Solution([(ions.sodium, 2), (ions.chloride, 2)]).validity
    assert not concentrated
    assert "ionic strength" in concentrated.reason


def test_buffer_capacity_is_the_slope_of_the_titration():
    solution = Solution([(BENZOIC, 0.02)], strong_charge=0.01, activity="ideal")
    below, above = (solution.strong_charge_for(solution.pH + step) for step in (-1e-4, 1e-4))
    slope = (above - below) / 2e-4
    assert solution.buffer_capacity == pytest.approx(slope, rel=1e-6)


VALUES = [
    CITRIC,
    ions.sodium,
    Water.at(25),
    counterion.Place("a.csv", 2, 3),
    counterion.NeutralForm(),
    counterion.NeutralForm(0.5, 0.25, 0.125, 0.01, True),
    counterion.AcidPolymer(),
    counterion.AcidPolymer(4.2, 5.0, 3.5, "it's"),
    counterion.Ion("citric-acid", -3),
    counterion.Interaction(counterion.hydrogen_ion, counterion.Ion("chloride", -1), 0.12),
]


@pytest.mark.parametrize("value", VALUES)
def test_values_survive_copying_pickling_and_pasting_their_repr(value):
    pasted = eval(repr(value), dict(vars(counterion)))
    for again in (copy.copy(value), copy.deepcopy(value), pickle.loads(pickle.dumps(value)), pasted):
        assert again == value
        assert hash(again) == hash(value)
    assert value != "something else"


def test_nothing_can_be_changed():
    for thing, name in (
        (CITRIC, "pK"),
        (ions.sodium, "charge"),
        (Solution([]), "pH"),
        (Water.at(25), "pKw"),
        (counterion.NeutralForm(), "held"),
        (counterion.AcidPolymer(), "pK0"),
        (counterion.hydrogen_ion, "charge"),
    ):
        with pytest.raises(AttributeError):
            setattr(thing, name, 1)


def test_water_at_the_edges_is_finite_and_beyond_them_refused():
    assert all(math.isfinite(Water.at(t).pKw) for t in (0, 80))
    for t in (-1, 81, math.nan):
        with pytest.raises(counterion.BadInput, match="0 to 80"):
            Water.at(t)
