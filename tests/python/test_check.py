# SPDX-License-Identifier: MIT
"""The answer through Python is the command's answer."""

import gc
import json
import subprocess
from concurrent.futures import ThreadPoolExecutor

import pytest
from conftest import SAMPLES, SOURCE

import counterion
from counterion import Formula, check

GEL = {"Urea": 5, "Sodium lactate 60 %": 3, "Water": "q.s."}


def run(command, *arguments):
    return subprocess.run([command, "check", *map(str, arguments)], capture_output=True, encoding="utf-8")


def test_the_answer_is_that_of_the_command(sample, command):
    done = run(command, sample, "--json")
    assert done.returncode in (0, 1), done.stderr
    result = check(sample)
    assert result.to_dict() == json.loads(done.stdout)
    assert result.stop == (done.returncode == 1)


def test_options_mean_what_they_mean_to_the_command(heel_cream, command):
    done = run(command, heel_cream, "--json", "--batch", "2000", "--target", "4.6", "--use", "rinse-off",
               "--type", "hand", "--jurisdiction", "EU", "--temperature", "30", "--adjuster", "lactic-acid-80")
    result = check(heel_cream, batch_g=2000, target=4.6, use="rinse-off", type="hand", jurisdiction="EU",
                   temperature_celsius=30, adjusters=["lactic-acid-80"])
    assert result.to_dict() == json.loads(done.stdout)


def test_to_dict_is_to_json_read(sample):
    result = check(sample)
    assert result.to_dict() == json.loads(result.to_json()) == json.loads(result.to_json(indent=-1))
    assert "\n" not in result.to_json(indent=-1).strip()


def test_attributes_say_what_the_dict_says(sample):
    result = check(sample)
    said = result.to_dict()
    assert said["window"]["feasible"] == result.window.feasible
    assert said["prediction"]["pH"] == result.prediction.pH
    assert said["prediction"]["p05"] == result.prediction.p05 <= result.prediction.pH <= result.prediction.p95
    assert len(said["conflicts"]) == len(result.conflicts)
    assert len(said["adjustment"]) == len(result.adjustments)
    assert [a.get("grams") for a in said["adjustment"]] == [a.grams for a in result.adjustments]
    assert len(said["not_judged"]) == len(result.not_judged)


def test_the_window_can_be_printed(sample):
    window = check(sample).window
    if window.feasible:
        assert str(window).startswith(f"Window({window.low:.1f} to {window.high:.1f}, target {window.target:.1f}; low: ")
        assert window.low <= window.target <= window.high
    else:
        assert str(window).startswith("Window(none; ")
        assert window.low is None and window.high is None and window.target is None
        assert window.conflicts[0].gap > 0
        assert window.least_removal


def test_text_is_for_people(sample):
    result = check(sample)
    assert str(result).endswith("\n") and len(str(result)) > 200
    assert repr(result).startswith("<CheckResult '") and len(repr(result)) < 200


def test_answers_are_equal_when_they_say_the_same():
    assert check(GEL) == check(Formula(GEL))
    assert check(GEL) != check(GEL, target=6.5)
    assert check(GEL) != "an answer"


def test_parts_outlive_the_answer():
    result = check(SAMPLES[0])
    ranges, drivers, conflicts = result.window.ranges, result.prediction.drivers, result.conflicts
    expected = [range_.name for range_ in ranges]
    del result
    gc.collect()
    assert [range_.name for range_ in ranges] == expected
    assert all(driver.what for driver in drivers)
    assert all(conflict.a.name for conflict in conflicts)


def test_nothing_can_be_changed():
    result = check(GEL)
    for thing, name in ((result, "target"), (result.window, "low"), (result.prediction, "pH"), (result.formula, "name")):
        with pytest.raises(AttributeError):
            setattr(thing, name, None)


def test_eight_threads_get_equal_answers():
    with ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(lambda path: check(path).to_json(), SAMPLES * 16))
    for i, path in enumerate(SAMPLES):
        assert set(answers[i :: len(SAMPLES)]) == {check(path).to_json()}


def test_names_of_lines_are_shown():
    result = check(GEL)
    assert result.name_of(0) == "Urea"
    assert all(result.name_of(i) for i in range(3))
    with pytest.raises(IndexError):
        result.name_of(3)


def test_a_formula_without_water_has_no_pH_and_says_so():
    result = check({"Sunflower seed oil": 60, "Shea butter": 40})
    assert result.prediction is None
    assert result.no_prediction


def test_tables_can_be_given():
    tables = counterion.Tables.built_in()
    assert check(GEL, tables=tables) == check(GEL)
    assert check(GEL).tables.sha256 == tables.sha256


def test_unknown_adjusters_are_named_all_at_once():
    with pytest.raises(counterion.BadInput) as caught:
        check(GEL, adjusters=["citrc acid", "citric-acid", "glycerin"])
    unknown, useless = caught.value.problems
    assert "citrc acid" in unknown.found and "Citric Acid (anhydrous)" in unknown.suggestions
    assert "glycerin" in useless.found


def test_one_name_is_no_list_of_adjusters():
    with pytest.raises(TypeError):
        check(GEL, adjusters="citric-acid")


def test_the_schema_comes_with_the_package(sample):
    jsonschema = pytest.importorskip("jsonschema")
    from pathlib import Path

    schema = json.loads((Path(counterion.__file__).parent / "schemas" / "check.schema.json").read_text("utf-8"))
    assert schema == json.loads((SOURCE / "lib" / "schemas" / "check.schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator(schema).validate(check(sample).to_dict())


def test_another_activity_model_is_used_and_may_be_any_of_the_list():
    formula = {"Sodium lactate 60 %": 30, "Lactic acid 80 %": 5, "Water": "q.s."}
    answers = {name: check(formula, activity=name) for name in counterion.activity_names}
    assert answers["davies"] == check(formula)
    readings = {round(answer.prediction.pH, 3) for answer in answers.values()}
    assert len(readings) == len(counterion.activity_names)
    assert "ionic strength" in answers["davies"].prediction.validity
    assert answers["specific-ion"].prediction.activity_within_range


def test_what_the_water_does_not_hold_is_named():
    """AqSolDB: log10 of benzoic acid's solubility is -1.55 mol/L, 3.44 g/L (25 °C)."""
    (acid,) = check({"Benzoic acid": 1, "Water": "q.s."}).prediction.saturated
    assert (acid.substance, acid.name) == ("benzoic-acid", "benzoic acid")
    assert acid.percent_held == pytest.approx(0.344, rel=0.1)
    assert acid.percent_out == pytest.approx(1 - 0.344, rel=0.1)
    assert repr(acid).startswith("<Saturated 'benzoic acid': 0.")
    assert check({"Benzoic acid": 0.2, "Water": "q.s."}).prediction.saturated == ()


def test_oil_holds_its_share_of_a_preservative():
    """At a given pH the active share falls by what the oil holds: K φ/(1 + K φ) of the neutral form."""
    line = {"Sodium benzoate": 0.5, "Citric acid": 0.5}
    (plain,) = check({**line, "Water": "q.s."}, target=4.2).preservation
    (beside,) = check({**line, "Sunflower seed oil": 20, "Water": "q.s."}, target=4.2).preservation
    assert plain.share_held == 0 < beside.share_held < 1
    assert beside.share_at_target < plain.share_at_target
    assert beside.share_at_target + beside.share_held < 1
    assert plain.condition == beside.condition != ""


SERUM = {"Magnesium Ascorbyl Phosphate": 3, "Sodium benzoate": 0.5, "Glycerin": 5, "Water": "q.s."}


def test_a_conflict_comes_with_remedies_that_pass():
    answer = check(SERUM, use="leave-on", type="face")
    assert answer.stop and answer.remedies
    costs = [remedy.cost for remedy in answer.remedies]
    assert costs == sorted(costs)
    for remedy in answer.remedies:
        assert all(change.kind and change.names for change in remedy.changes)
        for product in remedy.products:
            again = check(product.formula, remedies=False)
            assert not again.stop
            assert again.prediction.pH == pytest.approx(product.pH)
            assert product.low <= product.target <= product.high


def test_exclusions_reach_the_remedies():
    kept = check(SERUM, use="leave-on", keep=["Sodium benzoate"])
    assert all("Sodium Benzoate" not in change.names for remedy in kept.remedies for change in remedy.changes)
    assert check(SERUM, use="leave-on", remedies=False).remedies == ()
    with pytest.raises(counterion.BadInput):
        check(SERUM, without=["moon dust"])


def test_an_empty_window_lists_every_way_out():
    window = check(SERUM, use="leave-on").window
    weights = [weight for low, high, weight, left in window.ways_out]
    assert weights == sorted(weights) and len(weights) > 1
    assert [r.name for r in window.ways_out[0][3]] == [r.name for r in window.least_removal]


def test_preservation_and_salt_are_typed():
    answer = check({"Sodium benzoate": 0.4, "Phenoxyethanol": 0.8, "Carbomer": 0.3, "Sodium chloride": 1, "Water": "q.s."})
    system = answer.preservation_system
    assert [acid.acid for acid in system.acids] == ["benzoic-acid"]
    assert system.others[0].in_usual_dose and system.others[0].usual_low == 0.5
    assert set(system.spectrum) == {"gram-positive", "gram-negative", "yeast", "mould"}
    assert 0.9 < system.water_activity < 1 and system.lower_risk == ()
    assert answer.electrolyte.load > 0.1
    assert answer.formula.items[answer.electrolyte.thinned[0]].ingredient == "carbomer"
    pH, percent = zip(*system.acids[0].curve)
    assert pH[0] == 3 and pH[-1] == 8 and list(percent) == sorted(percent, reverse=True)


def test_a_strip_keeps_the_target_further_off():
    meter, strip = check({"Sodium benzoate": 0.5, "Water": "q.s."}).window, check({"Sodium benzoate": 0.5, "Water": "q.s."}, meter=0.5).window
    assert strip.margin - meter.margin == pytest.approx(0.4)
