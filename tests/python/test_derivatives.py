# SPDX-License-Identifier: MIT
"""Derivatives against differences of the solution itself; titration curves against a printed table."""

import pytest
from conftest import rows
from hypothesis import given
from hypothesis import strategies as st

from counterion import (
    AcidPolymer,
    BadInput,
    NeutralForm,
    Protolyte,
    Solution,
    dose_for,
    ions,
    titration_curve,
)

pKs = st.lists(st.floats(3, 10), min_size=1, max_size=3).map(sorted)
PHTHALIC = Protolyte(
    charge=0, pK=[float(row["pK"]) for row in rows("constants.csv") if row["substance"] == "phthalic"]
)
forms = st.sampled_from([(), (NeutralForm(elsewhere=2, paired=30),), (NeutralForm(solubility=1e-4),)])


def buffered(pK, molality, neutralised, salt, form=(), more_base=0.0, **conditions):
    """An acid neutralised in part, with salt."""
    acid = Protolyte(charge=0, pK=pK, dH_kJ_per_mol=[5.0] * len(pK))
    base = neutralised * molality + salt + more_base
    return Solution([(acid, molality, *form), (ions.sodium, base), (ions.chloride, salt)], **conditions)


def assert_is_slope(exact, solution_at, step):
    """Central differences at one and two steps, extrapolated."""

    def slope(of, by):
        return (of(solution_at(by)) - of(solution_at(-by))) / (2 * by)

    def extrapolated(of):
        return (4 * slope(of, step) - slope(of, 2 * step)) / 3

    assert exact.pH == pytest.approx(extrapolated(lambda s: s.pH), rel=1e-4, abs=1e-6)
    assert exact.ionic_strength == pytest.approx(extrapolated(lambda s: s.ionic_strength), rel=1e-4, abs=1e-6)


@given(
    pK=pKs,
    molality=st.floats(0.01, 0.1),
    neutralised=st.floats(0.2, 0.8),
    salt=st.floats(0, 0.1),
    form=forms,
    activity=st.sampled_from(["davies", "extended-debye-huckel", "ideal", "specific-ion"]),
)
def test_derivatives_are_differences(pK, molality, neutralised, salt, form, activity):
    batch = dict(pK=pK, molality=molality, neutralised=neutralised, salt=salt, form=form, activity=activity)
    solution = buffered(**batch)
    step = 1e-3 * molality
    assert_is_slope(solution.by_strong_charge(), lambda by: buffered(**batch, more_base=by), step)

    def with_acid(by):
        share = neutralised * molality / (molality + by)
        return buffered(**{**batch, "molality": molality + by, "neutralised": share})

    assert_is_slope(solution.by_amount(0), with_acid, step)
    for i in range(len(pK)):
        shifts = [by == i for by in range(len(pK))]
        assert_is_slope(
            solution.by_pK(0, i),
            lambda by, shifts=shifts: buffered(**{**batch, "pK": [p + by * s for p, s in zip(pK, shifts)]}),
            1e-3,
        )
    assert_is_slope(solution.by_temperature(), lambda by: buffered(**batch, temperature_celsius=25 + by), 0.02)


def test_a_polymers_derivatives_are_differences():
    def gel(pK0=4.5, sites=0.05):
        return Solution([(AcidPolymer(pK0=pK0), sites), (ions.sodium, 0.02)])

    assert_is_slope(gel().by_pK(0, 0), lambda by: gel(pK0=4.5 + by), 1e-3)
    assert_is_slope(gel().by_amount(0), lambda by: gel(sites=0.05 + by), 1e-5)


@pytest.mark.parametrize("activity", ["davies", "specific-ion"])
def test_the_buffer_capacity_is_one_over_what_strong_base_does(activity):
    solution = buffered([4.2], 0.02, 0.5, 0.1, activity=activity)
    assert solution.by_strong_charge().pH == pytest.approx(1 / solution.buffer_capacity, rel=1e-9)


def test_warming_moves_a_buffer_by_its_enthalpy():
    """d pK/dT is -ΔH/(ln10 R T²), van 't Hoff: tris, 47.45 kJ/mol, loses 0.0279 a kelvin at 25 °C."""
    tris = Protolyte(charge=1, pK=[8.072], dH_kJ_per_mol=[47.45])
    solution = Solution([(tris, 0.1), (ions.chloride, 0.05)], activity="ideal")
    assert solution.by_temperature().pH == pytest.approx(-47450 / (2.302585 * 8.314463 * 298.15**2), rel=1e-3)


def test_positions_outside_are_index_errors():
    solution = Solution([(Protolyte(charge=0, pK=[4.2]), 0.01), (ions.sodium, 0.005), (AcidPolymer(), 0.01)])
    for call in (
        lambda: solution.free_neutral(3),
        lambda: solution.is_saturated(3),
        lambda: solution.by_amount(3),
        lambda: solution.by_pK(3, 0),
        lambda: solution.by_pK(0, 1),
        lambda: solution.by_pK(1, 0),
        lambda: solution.by_pK(2, 1),
    ):
        with pytest.raises(IndexError):
            call()


def phthalate():
    """Potassium hydrogen phthalate, 0.05 mol/kg."""
    return Solution([(PHTHALIC, 0.05), (ions.potassium, 0.05)])


def test_a_titration_curve_is_the_printed_one():
    """Bower and Bates: 50 mL of 0.1 M potassium hydrogen phthalate and x mL of 0.1 M NaOH, to 100 mL.

    Within what 0.02 pH is worth: that far from the table the pH computed with Davies' equation may be.
    """
    name = "phthalate-sodium hydroxide, Bower and Bates"
    printed = [row for row in rows("buffer_tables.csv") if row["table"] == name]
    assert len(printed) >= 8
    curve = titration_curve(phthalate(), [(ions.sodium, 1)], [float(row["pH"]) for row in printed])
    for point, row in zip(curve, printed):
        expected = float(row["second_mol_per_L"]) * float(row["second_mL"]) / 100
        there = Solution([(PHTHALIC, 0.05), (ions.potassium, 0.05), (ions.sodium, expected)])
        assert point.pH == float(row["pH"])
        assert point.amount == pytest.approx(expected, abs=0.02 * there.buffer_capacity)


def test_a_curve_is_its_doses_in_the_order_of_the_grid():
    grid = [6.5, 3, 5.0, 4.5, 14]
    curve = titration_curve(phthalate(), [(ions.sodium, 2)], grid, water_g=1000, most=0.5)
    assert isinstance(curve, list)
    assert [point.pH for point in curve] == grid
    doses = [dose_for(phthalate(), [(ions.sodium, 2)], pH, water_g=1000, most=0.5).amount for pH in grid]
    for point, dose in zip(curve, doses):
        assert point.amount == (None if dose is None else pytest.approx(dose, rel=1e-9))
    assert curve[1].amount is None and curve[4].amount is None and curve[2].amount > 0
    assert titration_curve(phthalate(), [(ions.sodium, 1)], ()) == []


def test_a_curve_that_means_nothing_is_refused():
    for wrong in (dict(pH=[5, float("nan")]), dict(pH=[5], most=-1), dict(pH=[5], water_g=float("inf"))):
        with pytest.raises(BadInput):
            titration_curve(phthalate(), [(ions.sodium, 1)], **wrong)
    with pytest.raises(TypeError):
        titration_curve(phthalate(), [(ions.sodium, 1)], 5)


def test_results_show_themselves_and_cannot_be_changed():
    point = titration_curve(phthalate(), [(ions.sodium, 1)], [5])[0]
    sensitivity = phthalate().by_strong_charge()
    assert repr(point).startswith("<TitrationPoint pH 5, amount=0.0")
    assert repr(sensitivity).startswith("<Sensitivity pH=")
    for thing in (point, sensitivity):
        with pytest.raises(AttributeError):
            thing.pH = 1
