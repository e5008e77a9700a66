# SPDX-License-Identifier: MIT
"""What holds for every solution."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from counterion import Protolyte, Solution, StrongIon, activity_names


@st.composite
def protolytes(draw):
    ladder = draw(st.lists(st.floats(-3, 16), min_size=1, max_size=6))
    return Protolyte(charge=draw(st.integers(-4, 6)), pK=sorted(ladder))


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
