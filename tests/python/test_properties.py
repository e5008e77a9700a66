# SPDX-License-Identifier: MIT
"""What holds for every solution."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from counterion import AcidPolymer, NeutralForm, Protolyte, Solution, StrongIon, activity_names


@st.composite
def protolytes(draw):
    ladder = draw(st.lists(st.floats(-3, 16), min_size=1, max_size=6))
    return Protolyte(charge=draw(st.integers(-4, 6)), pK=sorted(ladder))


@st.composite
def acids_elsewhere(draw):
    """An acid whose neutral form goes into oil, turns into a lactone, and may fall out."""
    form = NeutralForm(
        elsewhere=draw(st.floats(0, 1000)),
        paired=draw(st.floats(0, 1000)),
        converted=draw(st.floats(0, 1)),
        solubility=draw(st.just(math.inf) | st.floats(-6, 0).map(lambda power: 10**power)),
    )
    acid = Protolyte(charge=0, pK=sorted(draw(st.lists(st.floats(1, 12), min_size=1, max_size=3))))
    return acid, draw(st.floats(1e-6, 1)), form


polymers = st.builds(AcidPolymer, st.floats(2, 7), st.floats(2, 12))
ions = st.builds(StrongIon, st.just("ion"), st.integers(-3, 3))
amounts = st.lists(
    st.tuples(protolytes() | ions, st.just(0.0) | st.floats(-9, 0.5).map(lambda power: 10**power)),
    max_size=5,
)
conditions = st.fixed_dictionaries(
    {"activity": st.sampled_from(activity_names), "temperature_celsius": st.floats(0, 80)}
)


@given(amounts, conditions)
def test_every_solution_has_a_finite_pH_and_shares_that_sum_to_one(amounts, conditions):
    solution = Solution(amounts, **conditions)
    assert math.isfinite(solution.pH) and solution.ionic_strength >= 0 and solution.buffer_capacity > 0
    for position in range(len(amounts)):
        assert math.fsum(solution.shares(position)) == pytest.approx(1, abs=1e-12)


@given(amounts, conditions, st.floats(-1, 1), st.floats(1e-6, 1))
def test_strong_base_raises_the_pH(amounts, conditions, charge, more):
    before = Solution(amounts, strong_charge=charge, activity="ideal", temperature_celsius=conditions["temperature_celsius"])
    after = Solution(amounts, strong_charge=charge + more, activity="ideal", temperature_celsius=conditions["temperature_celsius"])
    assert after.pH > before.pH


@given(amounts, conditions, st.floats(2, 12))
def test_the_strong_charge_for_a_pH_gives_that_pH(amounts, conditions, target):
    charge = Solution(amounts, **conditions).strong_charge_for(target)
    ion = StrongIon("sodium", 1) if charge >= 0 else StrongIon("chloride", -1)
    assert Solution([*amounts, (ion, abs(charge))], **conditions).pH == pytest.approx(target, abs=1e-6)


@given(st.lists(acids_elsewhere(), min_size=1, max_size=3), amounts, conditions)
def test_no_more_of_a_neutral_form_is_free_than_the_water_holds_or_than_there_is(acids, amounts, conditions):
    solution = Solution([*acids, *amounts], **conditions)
    assert math.isfinite(solution.pH)
    for position, (_, molality, form) in enumerate(acids):
        free = solution.free_neutral(position)
        assert 0 <= free <= min(molality, form.solubility) * (1 + 1e-9)
        if solution.is_saturated(position):
            assert free == pytest.approx(form.solubility, rel=1e-9)


@given(polymers, st.floats(1e-5, 0.5), st.floats(0, 1), st.floats(0.01, 0.2))
def test_base_raises_the_pH_of_a_polymer_and_ionises_it(polymer, sites, neutralised, more):
    before, after = (Solution([(polymer, sites)], strong_charge=share * sites) for share in (neutralised, neutralised + more))
    assert after.pH > before.pH
    assert after.shares(0)[1] > before.shares(0)[1]
