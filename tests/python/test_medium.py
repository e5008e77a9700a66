# SPDX-License-Identifier: MIT
"""The neutral form in oil, as crystals and under a gas; acid polymers; interactions of ions."""

import math

import pytest
from conftest import rows

import counterion
from counterion import (
    AcidPolymer,
    BadInput,
    Interaction,
    Interactions,
    Ion,
    NeutralForm,
    Protolyte,
    Solution,
    Tables,
    dose_for,
    hydrogen_ion,
    hydroxide_ion,
    ions,
    shared_with_oil,
)

ACID = Protolyte(charge=0, pK=[4.2], name="acid")
SODIUM, CHLORIDE = Ion("sodium", 1), Ion("chloride", -1)


def held_at(amounts, pH):
    """The solution brought to a pH by strong acid or alkali."""
    charge = Solution(amounts, activity="ideal").strong_charge_for(pH)
    return Solution(amounts, strong_charge=charge, activity="ideal")


def test_an_acid_that_pairs_in_oil_shares_itself_as_the_book_says():
    """Walstra P, Physical Chemistry of Foods, Marcel Dekker (2003), section 2.2, Question 2.

    Oil fraction 0.2, 0.01 mol acid per litre of emulsion, partition 1, dimers 1e4 L/mol in the oil, K
    1.25e-5, pH 4.90. Printed: 0.00137 mol/L in the water (neutral), 0.0078 mol per litre in the oil.
    """
    water, oil = 0.8, 0.2
    acid = Protolyte(charge=0, pK=[-math.log10(1.25e-5)])
    solution = held_at([(acid, 0.01 / water, shared_with_oil(1, oil / water, pairing=1e4))], 4.90)
    neutral = solution.free_neutral(0)
    assert neutral == pytest.approx(0.00137, rel=0.004)
    assert oil * (neutral + 2e4 * neutral**2) == pytest.approx(0.0078, rel=0.01)


def test_the_water_holds_no_more_of_a_preservative_than_it_can():
    """J. Soc. Cosmet. Chem. 23(11), 716 (1972), Table VIII.

    Methylparaben 0.2 %, liquid paraffin, partition 0.02, at most 0.24 % in the water.
    """
    for ratio, printed in {0.11: 0.22, 0.25: 0.24, 0.43: 0.24, 0.66: 0.24, 1.00: 0.24}.items():
        oil = shared_with_oil(0.02, ratio)
        form = NeutralForm(elsewhere=oil.elsewhere, solubility=0.24 / 1000)
        solution = held_at([(Protolyte(charge=0, pK=[30]), 0.2 * (ratio + 1) / 1000, form)], 7)
        assert 1000 * solution.free_neutral(0) == pytest.approx(printed, rel=0.01)
        assert solution.is_saturated(0) == (ratio > 0.2)


def test_water_open_to_air_reads_5_6():
    """James Cook University, course CH3041, lecture 5: 3.38e-2 mol/(L atm), pK 6.35, 350 ppm: pH 5.64.

    Then Plummer and Busenberg (1982) at 25 °C with NOAA's mean of the air of 2025.
    """
    lecture = NeutralForm(solubility=3.38e-2 * 350e-6, held=True)
    carbonic = Protolyte(charge=0, pK=[6.35, 10.33])
    assert Solution([(carbonic, 0, lecture)], activity="ideal").pH == pytest.approx(5.64, abs=0.003)
    today = NeutralForm(solubility=0.03405 * 425.64e-6, held=True)
    assert Solution([(Protolyte(charge=0, pK=[6.352, 10.329]), 0, today)]).pH == pytest.approx(5.60, abs=0.01)


def test_air_holds_its_share_of_the_water_whatever_is_used_up():
    air = NeutralForm(solubility=1.4e-5, held=True)
    solution = Solution([(Protolyte(charge=0, pK=[6.352, 10.329]), 0, air)], strong_charge=1e-3)
    assert solution.is_saturated(0)
    assert solution.free_neutral(0) == pytest.approx(1.4e-5, rel=1e-12)


def test_without_another_phase_the_free_neutral_form_is_the_undissociated_share():
    solution = Solution([(ACID, 0.02), (ions.sodium, 0.01)])
    assert solution.free_neutral(0) == pytest.approx(0.02 * solution.shares(0)[0], rel=1e-12)
    assert solution.free_neutral(1) == 0
    assert not solution.is_saturated(0) and not solution.is_saturated(1)


def test_an_amount_may_say_that_nothing_leaves_the_water():
    plain = Solution([(ACID, 0.02), [ions.sodium, 0.01]])
    said = Solution([(ACID, 0.02, NeutralForm()), (ions.sodium, 0.01, NeutralForm())])
    assert said.pH == plain.pH


def test_oil_is_shared_with_by_partition_and_volume():
    assert shared_with_oil(5, 0.25) == NeutralForm(elsewhere=1.25)
    assert shared_with_oil(partition=2, litres_per_kg=0.5, pairing=10) == NeutralForm(1, 40)


def test_a_dose_reaches_its_target_beside_oil():
    oil = shared_with_oil(5.33, 0.4, 100)
    dose = dose_for(Solution([(ACID, 0.05, oil)]), [(ions.sodium, 1)], 5, water_g=400)
    water = 1 + 0.4 * dose.amount
    after = NeutralForm(elsewhere=oil.elsewhere / water, paired=oil.paired / water)
    again = Solution([(ACID, 0.05 / water, after)], strong_charge=dose.amount / water)
    assert again.pH == pytest.approx(5, abs=1e-8)


def test_what_a_dose_brings_may_go_into_the_oil_too():
    oil = NeutralForm(elsewhere=3)
    dose = dose_for(Solution([(ions.sodium, 0.01)]), [(ACID, 1, oil)], 4.5)
    assert Solution([(ACID, dose.amount, oil)], strong_charge=0.01).pH == pytest.approx(4.5, abs=1e-8)


@pytest.mark.parametrize(
    "what, wrong",
    [
        (ACID, NeutralForm(elsewhere=-1)),
        (ACID, NeutralForm(paired=math.nan)),
        (ACID, NeutralForm(converted=math.inf)),
        (ACID, NeutralForm(solubility=-1)),
        (ACID, NeutralForm(held=True)),
        (Protolyte(charge=-1, pK=[7.2], name="acid"), NeutralForm(elsewhere=1)),
        (AcidPolymer(name="acid"), NeutralForm(elsewhere=1)),
        (AcidPolymer(pK0=99, name="acid"), NeutralForm()),
        (AcidPolymer(spacing_angstrom=0, name="acid"), NeutralForm()),
        (AcidPolymer(ion_size_angstrom=-1, name="acid"), NeutralForm()),
    ],
)
def test_a_neutral_form_or_a_polymer_that_cannot_be_is_refused_by_name(what, wrong):
    for call in (
        lambda: Solution([(what, 0.1, wrong)]),
        lambda: dose_for(Solution([]), [(what, 0.1, wrong)], 5),
    ):
        with pytest.raises(BadInput, match="acid"):
            call()


@pytest.mark.parametrize("line", [(ACID,), (ACID, 0.1, 3), (ACID, 0.1, NeutralForm(), 1), ("acid", 0.1), ACID])
def test_what_is_no_amount_is_a_type_error(line):
    with pytest.raises(TypeError):
        Solution([line])


def test_a_carbomer_dispersion_is_as_acid_as_the_pharmacopoeias_indicators_say():
    """USP 28 - NF 23, Carbomer 934P, Identification A, 1 in 100: thymol blue orange, cresol red yellow.

    Orange ends at pH 2.8, yellow starts at 1.8 (from memory). Sites by USP 32, Carbomer 940: 56 to 68 %
    carboxylic acid.
    """
    sites = 0.0132 * 10 / 0.99
    gel = Solution([(AcidPolymer(name="carbomer"), sites)])
    assert 1.8 < gel.pH < 2.8
    assert len(gel.shares(0)) == 2 and sum(gel.shares(0)) == pytest.approx(1, abs=1e-14)
    assert gel.free_neutral(0) == 0 and not gel.is_saturated(0)


def test_salt_makes_an_acid_polymer_stronger():
    """Kim et al., Soft Matter (2026), doi 10.1039/d5sm01024a, abstract: 0 to 1 M sodium chloride."""
    half = [(AcidPolymer(), 0.05), (ions.sodium, 0.025)]
    readings = [Solution([*half, (ions.sodium, salt), (ions.chloride, salt)]).pH for salt in (0, 0.01, 0.1, 0.4)]
    assert readings == sorted(readings, reverse=True)


def test_a_polymer_can_be_dosed_and_its_amount_found():
    amount = Solution([(AcidPolymer(), 0.05), (ions.sodium, 0.02)]).amount_for(0, 5.5)
    assert Solution([(AcidPolymer(), amount), (ions.sodium, 0.02)]).pH == pytest.approx(5.5, abs=1e-8)
    dose = dose_for(Solution([(ions.sodium, 0.02)]), [(AcidPolymer(), 1)], 5.5)
    assert dose.amount == pytest.approx(amount, rel=1e-8)


def test_interactions_are_symmetric_and_estimated_where_not_listed():
    """Hummel (2009): 0.05 z for sodium with an anion of charge z, -0.05 + 0.1 z for chloride."""
    listed = Interactions([Interaction(SODIUM, CHLORIDE, 0.03), Interaction(SODIUM, Ion("potassium", 1), 0.01)])
    assert len(listed) == 2 and len(Interactions()) == 0
    assert listed.epsilon(SODIUM, CHLORIDE) == listed.epsilon(CHLORIDE, SODIUM) == 0.03
    assert listed.epsilon(Ion("potassium", 1), SODIUM) == 0.01
    assert listed.knows(CHLORIDE, SODIUM) and not listed.knows(CHLORIDE, hydrogen_ion)
    assert listed.epsilon(SODIUM, Ion("citric-acid", -3)) == pytest.approx(-0.15)
    assert listed.epsilon(Ion("calcium", 2), CHLORIDE) == pytest.approx(0.15)
    assert listed.epsilon(hydroxide_ion, CHLORIDE) == 0


def test_every_faulty_interaction_is_named_at_once():
    with pytest.raises(BadInput) as caught:
        Interactions(
            [
                Interaction(SODIUM, Ion("urea", 0), 0.1),
                Interaction(SODIUM, CHLORIDE, 3),
                Interaction(hydrogen_ion, CHLORIDE, math.nan),
                Interaction(SODIUM, hydroxide_ion, 0.04),
                Interaction(hydroxide_ion, SODIUM, 0.04),
            ]
        )
    assert len(caught.value.problems) == 4
    assert "urea" in str(caught.value) and "hydroxide-ion" in str(caught.value)


def test_the_tables_interactions_are_the_published_ones():
    """ThermoChimie 12a, SIT, epsilon block, Cit-3 Na+: -0.076."""
    known = Tables.built_in().interactions
    assert known.knows(SODIUM, CHLORIDE) and known.knows(hydrogen_ion, CHLORIDE)
    assert known.epsilon(Ion("citric-acid", -3), SODIUM) == -0.076
    for ion in (ions.sodium, ions.potassium):
        assert known.knows(Ion(ion.name, ion.charge), Ion(ions.chloride.name, ions.chloride.charge))


def test_hydrochloric_acid_reads_as_the_standard_says():
    (printed,) = [
        float(row["value"])
        for row in rows("ph_standards.csv")
        if (row["standard"], row["quantity"], row["temperature_celsius"]) == ("hydrochloric acid", "pH", "25")
    ]
    interactions = Tables.built_in().interactions
    acid = Solution([(ions.chloride, 0.1)], activity="specific-ion", interactions=interactions)
    assert acid.pH == pytest.approx(printed, abs=0.005)
    assert acid.interactions.epsilon(hydrogen_ion, CHLORIDE) == interactions.epsilon(hydrogen_ion, CHLORIDE)
    assert acid.activity == "specific-ion" and acid.validity


@pytest.mark.parametrize("molality", [0.1, 0.5, 1, 3])
def test_specific_ion_theory_is_counted_as_its_equation_reads(molality):
    """log10 of the coefficient: -A √I/(1 + 1.5 √I) + epsilon m; Ciavatta (1980; from memory)."""
    interactions = Interactions([Interaction(hydrogen_ion, CHLORIDE, 0.12)])
    acid = Solution([(ions.chloride, molality)], activity="specific-ion", interactions=interactions)
    root = math.sqrt(molality)
    log_gamma = -acid.water.debye_huckel_A * root / (1 + 1.5 * root) + 0.12 * molality
    assert acid.pH == pytest.approx(-math.log10(molality) - log_gamma, abs=1e-6)


def test_interactions_outlive_the_name_they_had():
    solution = Solution([(ions.chloride, 1)], activity="specific-ion", interactions=Interactions())
    assert len(solution.interactions) == 0
    assert Solution([]).interactions is None
    assert "specific-ion" in counterion.activity_names
