# SPDX-License-Identifier: MIT
"""What is raised, and that everything is said at once."""

import math
import pickle

import pytest

import counterion
from counterion import BadInput, Error, Formula, Protolyte, Solution, UnknownIngredient, Water

ACID = Protolyte(charge=0, pK=[4.2], name="benzoic acid")
SHEET = """ingredient,percent
Citrc acid,0.5
Glycerin,much
Urea,-2
Water,q.s.
Aqua,q.s.
"""


def test_errors_are_pythons_own_kinds_too():
    assert issubclass(BadInput, Error) and issubclass(BadInput, ValueError)
    assert issubclass(UnknownIngredient, Error) and issubclass(UnknownIngredient, KeyError)
    assert issubclass(Error, Exception)


def test_every_faulty_amount_is_named_at_once():
    with pytest.raises(BadInput) as caught:
        Solution([(ACID, -1), (counterion.ions.sodium, math.nan), (ACID, math.inf)], temperature_celsius=99)
    assert len(caught.value.problems) == 4
    assert "benzoic acid" in str(caught.value) and "sodium" in str(caught.value)


def test_every_fault_of_a_sheet_is_named_with_its_place_and_nearest_name():
    with pytest.raises(BadInput) as caught:
        Formula.from_text(SHEET, file="cream.csv")
    problems = caught.value.problems
    assert [problem.place.line for problem in problems] == [2, 3, 4, 6]
    assert all(problem.place.file == "cream.csv" for problem in problems)
    assert any("citric" in name.lower() for name in problems[0].suggestions)
    assert str(caught.value).count("\n") == 3


def test_every_fault_of_a_list_is_named_with_its_position():
    with pytest.raises(BadInput) as caught:
        Formula([("Citrc acid", 0.5), ("Glycerin", "much"), ("Urea", math.nan), ("Water", None)])
    places = [problem.place.file for problem in caught.value.problems]
    assert [any(f"items[{i}]" in place for place in places) for i in range(4)] == [True] * 4


def test_an_unknown_activity_model_is_refused_with_the_list():
    with pytest.raises(BadInput) as caught:
        Solution([(ACID, 0.01)], activity="debye")
    assert all(name in str(caught.value) for name in counterion.activity_names)
    with pytest.raises(BadInput, match="raoult"):
        Water(14, 0.5, 0.33, water_activity="ideal")


@pytest.mark.parametrize(
    "wrong",
    [
        dict(pK=[]),
        dict(pK=[math.nan]),
        dict(pK=[4.2], dH_kJ_per_mol=[1, 2]),
        dict(pK=[4.2], dCp_J_per_mol_K=[1, 2]),
        dict(pK=[4.2], ion_size_angstrom=[4]),
        dict(pK=[4.2], charge=100),
    ],
)
def test_a_protolyte_that_means_nothing_is_refused(wrong):
    with pytest.raises(BadInput):
        Protolyte(**wrong)


def test_positions_outside_are_index_errors():
    solution = Solution([(ACID, 0.01)])
    for call in (lambda: solution.shares(1), lambda: solution.amount_for(1, 4)):
        with pytest.raises(IndexError):
            call()


def test_an_unknown_ingredient_reads_well_and_suggests():
    tables = counterion.Tables.built_in()
    with pytest.raises(KeyError) as caught:
        tables["citrc acid"]
    assert caught.value.name == "citrc acid"
    assert "Citric Acid (anhydrous)" in caught.value.suggestions
    assert str(caught.value).startswith("no ingredient is called 'citrc acid'")


def test_errors_survive_pickling():
    for error in (
        BadInput([counterion.Problem(counterion.Place("a.csv", 2), "x", "y", ["z"])]),
        UnknownIngredient("aqwa", ["aqua"]),
    ):
        again = pickle.loads(pickle.dumps(error))
        assert str(again) == str(error)
        assert vars(again) == vars(error)


@pytest.mark.parametrize(
    "wrong, word",
    [
        (dict(type="shoe"), "face"),
        (dict(use="sometimes"), "rinse-off"),
        (dict(jurisdiction="Atlantis"), "EU"),
        (dict(target=15), "14"),
        (dict(target=math.nan), "14"),
        (dict(batch_g=-1), "0"),
        (dict(temperature_celsius=200), "80"),
        (dict(activity="debye"), "specific-ion"),
    ],
)
def test_options_that_mean_nothing_are_refused_with_the_valid_words(wrong, word):
    with pytest.raises(BadInput, match=word):
        counterion.check({"Urea": 5, "Water": "q.s."}, **wrong)


@pytest.mark.parametrize("wrong", [5, b"urea", [("urea", 5, 6)], [5], ["ab"], {"items": ["ab"]}])
def test_what_is_no_formula_is_a_type_error(wrong):
    with pytest.raises(TypeError, match="a formula is"):
        Formula(wrong)


def test_files_that_cannot_be_read_are_bad_input(tmp_path):
    with pytest.raises(BadInput, match="no such file"):
        Formula(tmp_path / "nothing.csv")
    with pytest.raises(BadInput, match="folder"):
        Formula(tmp_path)
    with pytest.raises(BadInput, match="from_text"):
        Formula("ingredient,percent\nurea,5")
