# SPDX-License-Identifier: MIT
"""The answers while a batch is made are the command's, and readings may be written in any accepted form."""

import gc
import json
import math
import re
import subprocess
from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal

import pytest
from conftest import SAMPLES, SOURCE

import counterion
from counterion import BadInput, Formula, UnknownIngredient, adjust, predict, titrate

HAND_WASH = SOURCE / "cli" / "samples" / "hand-wash.csv"
CITRIC = "citric acid 20 %"
READINGS = [11.8, (5.1, [(CITRIC, 25.7)])]
PLAIN = {"Sodium benzoate": 0.5, "Glycerin": 3, "Water": "q.s."}
UNBUFFERED = {"Glycerin": 3, "Panthenol": 1, "Water": "q.s."}
FEW = {"adjusters": [CITRIC], "draws": 256}


def run(command, *arguments):
    done = subprocess.run([command, *map(str, arguments), "--json"], capture_output=True, encoding="utf-8")
    assert done.returncode in (0, 1), done.stderr
    return json.loads(done.stdout)


@pytest.fixture
def log(tmp_path):
    path = tmp_path / "readings.csv"
    path.write_text("added,g,pH\n,,11.8\ncitric acid 20 %,25.7,5.1\n", encoding="utf-8")
    return path


@pytest.fixture
def titration(tmp_path):
    path = tmp_path / "titration.csv"
    path.write_text("# sample: 50 g\n# batch: 2 kg\n# with: citric-acid 10 %\ng,pH\n0,11.6\n0.8,6.0\n0.3,5.0\n", "utf-8")
    return path


STEPS = [11.6, (6.0, [("citric-acid 10 %", 0.8)]), (5.0, [("citric-acid 10 %", 0.3)])]


# The command's answers


def test_predict_answers_as_the_command(sample, command):
    assert predict(sample).to_dict() == run(command, "predict", sample)


def test_adjust_answers_as_the_command(sample, command):
    assert adjust(sample).to_dict() == run(command, "adjust", sample)


def test_readings_mean_what_they_mean_to_the_command(command, log):
    said = run(command, "adjust", HAND_WASH, "--reading", "11.8", "--reading", f"5.1 after 25.7 g {CITRIC}")
    assert adjust(HAND_WASH, readings=READINGS).to_dict() == said
    logged = run(command, "adjust", HAND_WASH, "--log", log)
    assert adjust(HAND_WASH, readings=log).to_dict() == logged


def test_titrate_answers_as_the_command(command, titration):
    said = run(command, "titrate", HAND_WASH, titration)
    assert titrate(HAND_WASH, titration).to_dict() == said
    assert titrate(HAND_WASH, STEPS, 50).to_dict() == said
    smaller = run(command, "titrate", HAND_WASH, titration, "--sample", "40 g", "--target", "4.5")
    assert titrate(HAND_WASH, titration, 40, target=4.5).to_dict() == smaller


def test_options_mean_what_they_mean_to_the_command(command):
    said = run(command, "adjust", HAND_WASH, "--reading", "11.8", "--batch", "500", "--target", "4.4", "--use", "leave-on",
               "--type", "face", "--jurisdiction", "EU", "--temperature", "30", "--meter", "0.2", "--scale", "0.1",
               "--tolerance", "0.2", "--adjuster", "lactic acid 80 %", "--adjuster", "citric-acid 30 %", "--ruled-out")
    answer = adjust(HAND_WASH, readings=[11.8], batch_g=500, target=4.4, use="leave-on", type="face", jurisdiction="EU",
                    temperature_celsius=30, meter=0.2, scale_g=0.1, tolerance=0.2,
                    adjusters=["lactic acid 80 %", "citric-acid 30 %"], ruled_out=True)
    assert answer.to_dict() == said


@pytest.mark.parametrize("hold, typed", [({"acid_mmol_per_kg": 5}, "5 mmol acid"), ({"base_mmol_per_kg": 10}, "10 mmol base")])
def test_a_buffer_that_holds_is_the_commands(hold, typed, command):
    said = run(command, "predict", HAND_WASH, "--target", "4.5", "--hold", typed)
    assert predict(HAND_WASH, target=4.5, hold=hold).to_dict() == said


def test_a_share_of_a_polymer_is_neutralised_as_the_command_does(command):
    gel = SOURCE / "cli" / "samples" / "hand-gel.csv"
    assert adjust(gel, neutralise=0.6).to_dict() == run(command, "adjust", gel, "--neutralise", "60")


# What the answer says


def test_attributes_say_what_the_dict_says():
    answer = adjust(HAND_WASH, readings=READINGS, target=4.5, hold={"acid_mmol_per_kg": 5})
    said = answer.to_dict()
    learned, plan, undo = said["learned"], said["plan"], said["undo"]
    names = ("pH", "expected_pH", "low_pH", "high_pH", "surprise")
    assert learned["readings"] == [{name: getattr(r, name) for name in names} for r in answer.readings]
    for name in ("unexplained_meq_per_kg", "extra_buffer_mmol_per_kg"):
        one = getattr(answer, name)
        assert learned[name] == {"value": one.value, "low": one.low, "high": one.high}
    assert learned["beyond_tables"] == answer.beyond_tables
    for name in ("adjuster", "stock_percent", "target_pH", "tolerance_pH", "done", "chance_inside", "beyond_target",
                 "too_fine_for_scale"):
        assert plan[name] == getattr(answer.plan, name)
    assert plan["additions"] == [{"grams": a.grams, "expected_pH": a.expected_pH, "low_pH": a.low_pH, "high_pH": a.high_pH}
                                 for a in answer.plan.additions]
    assert plan["scale"] == {name: getattr(answer.adjustment, name) for name in ("step_pH", "too_coarse", "dilute_to_percent")}
    for one, adjustment in zip(said["adjustment"], answer.check.adjustments):
        assert one["scale_step_pH"] == adjustment.step_pH and one["ionic_strength_after"] == adjustment.ionic_strength_after
    assert plan["ionic_strength_after"] == answer.adjustment.ionic_strength_after
    assert said["curve"] == [{"grams": s.grams, "pH": s.pH, "low_pH": s.low_pH, "high_pH": s.high_pH} for s in answer.curve]
    assert undo == {name: getattr(answer.undo, name) for name in undo}
    assert said["release"] == dict(zip(("low_pH", "high_pH"), answer.release))
    assert [step["what"] for step in said["order_of_work"]] == [step.what for step in answer.order_of_work]
    assert said["chance_in_window"] == answer.chance_in_window
    assert [m["what"] for m in said["measurements"]] == [m.what for m in answer.measurements]


def test_buffers_say_what_the_dict_says():
    answer = predict(UNBUFFERED, target=4.5, hold={"acid_mmol_per_kg": 3, "base_mmol_per_kg": 3, "most_shift": 0.3})
    pairs = answer.to_dict()["buffers"]["pairs"]
    assert len(pairs) == len(answer.buffers.pairs) > 3
    for said, pair in zip(pairs, answer.buffers.pairs):
        for name in ("system", "possible", "pH", "percent_dry", "buffer_capacity", "ionic_strength", "clashes", "thinning"):
            assert said[name] == getattr(pair, name)
        assert said["acid"] == {name: getattr(pair.acid, name) for name in ("ingredient", "name", "percent", "grams")}
        assert (said["why_not"] or "") == pair.why_not
    best = answer.buffers.pairs[0]
    assert best.possible and best.pH == pytest.approx(4.5, abs=1e-3)
    assert abs(best.loaded.after_acid - 4.5) < 0.3001 and abs(best.loaded.after_base - 4.5) < 0.3001
    assert not answer.buffers.holds_already and not answer.buffers.holds_once_there


def test_the_pH_of_a_buffer_may_be_another_than_the_target():
    pairs = predict(UNBUFFERED, hold={"pH": 5.2, "acid_mmol_per_kg": 2}).buffers.pairs
    assert pairs[0].possible and pairs[0].pH == pytest.approx(5.2, abs=1e-3)
    assert pairs[0].loaded.after_base is None


def test_the_distribution_is_that_of_its_draws():
    pH = predict(HAND_WASH, draws=512).distribution
    assert len(pH) == len(pH.draws) == 512 and list(pH.draws) == sorted(pH.draws)
    assert pH.quantile(0) == pH.draws[0] <= pH.quantile(0.5) <= pH.draws[-1] == pH.quantile(1)
    assert pH.share_between(0, 14) == 1 and pH.share_between(14, 0) == 0
    middle = pH.share_between(pH.quantile(0.25), pH.quantile(0.75))
    assert middle == pytest.approx(0.5, abs=0.01)
    for share in (-0.1, 1.1, math.nan):
        with pytest.raises(BadInput):
            pH.quantile(share)
    with pytest.raises(BadInput):
        pH.share_between(math.nan, 7)


def test_without_readings_nothing_is_learned():
    answer = predict(PLAIN)
    assert answer.readings == answer.slips == answer.diagnostics == ()
    assert answer.unexplained_meq_per_kg is answer.extra_buffer_mmol_per_kg is None
    assert answer.plan is answer.undo is answer.adjustment is answer.buffers is None
    assert answer.curve == () and not answer.beyond_tables


def test_without_water_there_is_nothing_to_foresee():
    answer = adjust({"Sunflower seed oil": 60, "Shea butter": 40})
    assert answer.distribution is answer.chance_in_window is answer.plan is answer.release is None
    assert str(answer) and repr(answer).endswith("no pH, 0 readings, no plan>")


def test_an_adjustment_tells_what_the_scale_can_do():
    (fine,) = adjust(HAND_WASH, readings=[11.8], scale_g=0.01, **FEW).check.adjustments
    (coarse,) = adjust(HAND_WASH, readings=[11.8], scale_g=20, **FEW).check.adjustments
    assert 0 < fine.step_pH < coarse.step_pH and not fine.too_coarse and coarse.too_coarse
    assert fine.ionic_strength_after == fine.electrolyte_after.load > 0
    (never,) = counterion.check(HAND_WASH, target=4.5, adjusters=["sodium-hydroxide"]).adjustments
    assert never.ionic_strength_after is never.step_pH is never.dilute_to_percent is None and not never.too_coarse


def test_a_slip_is_named_and_grams_wait_until_it_is_ruled_out():
    formula = {"Sodium benzoate": 1, "Citric acid (anhydrous)": 0.3, "Glycerin": 3, "Water": "q.s."}
    answer = adjust(formula, readings=[2.6], target=5, draws=256)
    assert answer.beyond_tables and answer.plan is None
    assert all(a.grams is None for a in answer.check.adjustments)
    assert [slip["name"] for slip in answer.to_dict()["learned"]["slips"]] == [slip.name for slip in answer.slips]
    left_out = next(slip for slip in answer.slips if slip.name == "Sodium Benzoate")
    assert left_out.slip == "left-out" and left_out.item == 0 and abs(left_out.pH - 2.6) < 0.5
    certain = adjust(formula, readings=[2.6], target=5, draws=256, ruled_out=True)
    assert any(a.grams for a in certain.check.adjustments)


def test_text_is_for_people():
    foreseen, dosed = predict(HAND_WASH), adjust(HAND_WASH, readings=READINGS, target=4.5)
    assert str(foreseen).endswith("\n") and str(dosed).endswith("\n") and "Read 5.1" in str(dosed)
    assert re.fullmatch(r"<BatchAnswer 'Muschelbach hand wash': pH [\d.]+ \([\d.]+ to [\d.]+\), 2 readings, [\d.]+ g [a-z0-9-]+>",
                        repr(dosed))
    for part in (*dosed.readings, *dosed.plan.additions, *dosed.curve, *foreseen.measurements, *dosed.order_of_work, dosed.undo,
                 dosed.plan, dosed.distribution, dosed.unexplained_meq_per_kg):
        assert repr(part).startswith(f"<{type(part).__name__} ") and len(repr(part)) < 200


def test_answers_are_equal_when_they_say_the_same():
    assert predict(PLAIN) == predict(Formula(PLAIN))
    assert predict(PLAIN) != predict(PLAIN, readings=[7])
    assert predict(PLAIN) != "an answer"
    answer = predict(PLAIN, draws=256)
    assert answer.to_dict() == json.loads(answer.to_json()) == json.loads(answer.to_json(indent=-1))


def test_nothing_can_be_changed():
    answer = adjust(HAND_WASH, readings=READINGS, target=4.5)
    for thing, name in ((answer, "plan"), (answer.plan, "done"), (answer.readings[0], "pH"), (answer.distribution, "draws")):
        with pytest.raises(AttributeError):
            setattr(thing, name, None)


def test_parts_outlive_the_answer():
    answer = adjust(HAND_WASH, readings=READINGS, target=4.5, hold={"base_mmol_per_kg": 5})
    check, plan, steps, one, pairs = answer.check, answer.plan, answer.order_of_work, answer.adjustment, answer.buffers.pairs
    expected = (check.to_json(), plan.additions[0].grams, [step.what for step in steps], one.name, [p.system for p in pairs])
    del answer
    gc.collect()
    assert (check.to_json(), plan.additions[0].grams, [s.what for s in steps], one.name, [p.system for p in pairs]) == expected


# Whether it will stay

CREAM = SOURCE / "cli" / "samples" / "heel-cream.csv"


@pytest.mark.parametrize("storage, typed", [([(84, 45)], "12 weeks at 45"), ([(90, 40), (0, 25)], "90 days at 40, then 25"), ([(0, 25)], "25")])
def test_storage_means_what_it_means_to_the_command(storage, typed, command):
    assert predict(CREAM, storage=storage).to_dict() == run(command, "predict", CREAM, "--storage", typed)


def test_ages_mean_what_they_mean_to_the_command(command):
    said = run(command, "predict", CREAM, "--reading", "3.9", "--reading", "4.0 after 7 days", "--reading", "2.5 after 60 days")
    answer = predict(CREAM, readings=[3.9, {"pH": 4.0, "age_days": 7}, {"pH": 2.5, "age_days": 60}])
    assert answer.to_dict() == said
    assert [one.as_expected for one in answer.series] == [True, False]


def test_the_drift_says_what_the_dict_says():
    answer = predict(CREAM, readings=[3.9, {"pH": 4.0, "age_days": 40}], storage=[(84, 40), (646.5, 25)], draws=256)
    drift, said = answer.drift, answer.to_dict()
    forecast = said["drift"]
    for name, parts in (("points", drift.points), ("follow_ups", drift.follow_ups)):
        assert forecast[name] == [{key: getattr(part, key) for key in one} for one, part in zip(forecast[name], parts)]
        assert len(forecast[name]) == len(parts) > 2
    for name in ("fall", "rise", "acid_mmol_per_kg", "air_pH"):
        assert forecast[name] == getattr(drift, name)
    assert [(stay["days"], stay["celsius"]) for stay in forecast["storage"]] == list(drift.storage) == [(84, 40), (646.5, 25)]
    assert [one["what"] for one in forecast["causes"]] == [one.what for one in drift.causes]
    assert [one["row"] for one in forecast["untimed"]] == [one.row_id for one in drift.untimed]
    assert forecast["leaves"] is drift.leaves_after_days is drift.may_leave_after_days is None  # outside of its window
    (warm,), (stay,) = forecast["warm_stays"], drift.warm_stays
    assert (stay.days, stay.celsius) == (warm["days"], warm["celsius"])
    assert [t["low_days"] for t in warm["at_25_celsius"]] == [t.low_days for t in stay.at_25_celsius]
    assert all(84 < t.low_days < t.days < t.high_days for t in stay.at_25_celsius)
    (judged,) = answer.series
    assert said["series"] == [{key: getattr(judged, key) for key in said["series"][0]}]
    for part in (drift, drift.points[0], drift.causes[0], drift.follow_ups[0], judged, stay, stay.at_25_celsius[0], *drift.untimed):
        assert repr(part).startswith(f"<{type(part).__name__} ") and len(repr(part)) < 200


def test_when_it_leaves_its_window():
    answer = adjust(CREAM, target=4.8, draws=256, storage=[(0, 40)])
    drift, said = answer.drift, answer.to_dict()["drift"]["leaves"]
    assert said == {"middle_days": drift.leaves_after_days, "earliest_days": drift.may_leave_after_days}
    assert 1 < drift.may_leave_after_days < drift.leaves_after_days < 365


def test_the_times_may_be_asked_for():
    points = predict(CREAM, days=[0, 10, 100], draws=256).drift.points
    assert [point.days for point in points] == [0, 10, 100]


def test_a_lotion_with_a_lactone_falls_overnight():
    lotion = {"Caprylic/Capric Triglyceride": 15, "Glycerin": 3, "gluconolactone-sodium-benzoate-75-25": 1.5, "Water": "q.s."}
    fresh, next_day = predict(lotion, days=[0, 1], draws=256).drift.points
    assert fresh.pH - next_day.pH > 0.2 and abs(next_day.change_pH) < 0.1


def test_readings_may_be_of_a_slurry_or_a_strip():
    def width(**reading):
        (one,) = predict(CREAM, readings=[{"pH": 3.9, **reading}], draws=256).readings
        return one.high_pH - one.low_pH
    assert width(half_pH=0.5) > width()
    assert width(dilution=(10, 90)) > 0 and width(temperature_celsius=35) > 0
    for odd in ({"dilution": 10}, {"age_days": "7"}, {"dilution": ("10", 90)}):
        with pytest.raises(TypeError):
            width(**odd)
    for odd in ({"age_days": -1}, {"temperature_celsius": 200}, {"half_pH": -1}, {"dilution": (0, 90)}, {"weather": 3}):
        with pytest.raises(BadInput):
            width(**odd)


def test_storage_that_means_nothing_is_refused():
    for storage in ([(-1, 25)], [(3, 90)], [(math.nan, 25)], [(math.inf, 25)], [(3, math.nan)]):
        assert refused(storage=storage)
    assert len(refused(storage=[(-1, 25), (5, 99)])) == 2
    for days in ([], [3, 1], [-1], [math.nan]):
        assert not days or refused(days=days)
    for storage in (25, "25", [25], [(1, 2, 3)], [("7", 25)]):
        with pytest.raises(TypeError):
            predict(CREAM, storage=storage)


# How readings may be written


@pytest.mark.parametrize("readings", [
    (11.8, (5.1, ((CITRIC, 25.7),))),
    [11.8, [5.1, [[CITRIC, 25.7]]]],
    [(11.8, []), (5.1, [(("citric acid", 20), 25.7)])],
    [11.8, (5.1, [(("Citric Acid (anhydrous)", 20), 25.7)])],
    [{"pH": 11.8}, {"pH": 5.1, "added": [(CITRIC, 25.7)]}],
    [{"pH": 11.8, "added": []}, {"added": [(["citric acid", 20.0], Decimal("25.7"))], "pH": Decimal("5.1")}],
    iter(READINGS),
], ids=["tuples", "lists", "stock beside", "stock of an id", "mappings", "decimals", "iterator"])
def test_readings_in_every_form_give_equal_answers(readings):
    assert predict(HAND_WASH, readings=readings, draws=256).readings[1].pH == 5.1
    if not hasattr(readings, "__next__"):
        assert adjust(HAND_WASH, readings=readings, **FEW) == adjust(HAND_WASH, readings=READINGS, **FEW)


def test_a_log_is_as_good_as_what_it_says(log):
    assert adjust(HAND_WASH, readings=log, **FEW) == adjust(HAND_WASH, readings=str(log), **FEW)
    assert adjust(HAND_WASH, readings=log, **FEW) == adjust(HAND_WASH, readings=READINGS, **FEW)


def test_what_is_odd_in_a_log_is_said(log):
    log.write_text(log.read_text("utf-8") + "citric acid 20 %,3,\n", encoding="utf-8")
    (odd,) = adjust(HAND_WASH, readings=log, **FEW).diagnostics
    assert "not counted" in odd.message and odd.place.line == 4


def test_the_titrant_may_be_said_beside_the_log(tmp_path, titration):
    path = tmp_path / "bare.csv"
    path.write_text("g,pH\n0,11.6\n0.8,6.0\n0.3,5.0\n", encoding="utf-8")
    beside = titrate(HAND_WASH, path, 50, titrant="citric-acid 10 %", batch_g=2000, **FEW)
    assert beside == titrate(HAND_WASH, titration, **FEW)
    assert beside.check.formula.batch_g == 1950


# Input that means nothing


def refused(**asked):
    with pytest.raises(BadInput) as caught:
        predict(PLAIN, draws=256, **asked)
    assert str(caught.value)
    return caught.value.problems


def test_every_bad_number_is_named_at_its_reading():
    problems = refused(readings=[math.nan, (15, [(CITRIC, -1)]), 7, (6, [(CITRIC, math.inf), (CITRIC, math.nan)]), -0.1])
    assert [problem.place.line for problem in problems] == [1, 2, 2, 4, 4, 5]
    assert all(problem.place.file == "readings" for problem in problems)


@pytest.mark.parametrize("readings", [
    [math.inf], [10**400], [(7, [(CITRIC, 1e300)])], [{"ph": 7}], [{"pH": 7, "grams": 3}], [{}], [(7, [(("citric acid", 0), 1)])],
    [(7, [(("citric acid", 101), 1)])], [(7, [(("citric acid", math.nan), 1)])], [(7, [("glycerin", 1)])],
    [(7, [("citric-acid 500 %", 1)])], [(7, [("Citric Acid (anhydrous) 0 %", 1)])], "no-such-log.csv", "", "a\nb", ".",
])
def test_readings_that_mean_nothing_are_refused(readings):
    assert refused(readings=readings)


@pytest.mark.parametrize("readings", [
    None, 7, b"log.csv", {"pH": 7}, {7.0, 8.0}, ["7"], [None], [True], [(7,)], [(7, 8, 9)], [(7, CITRIC)], [(7, 3)],
    [(7, (CITRIC, 3))], [(7, [CITRIC])], [(7, [(CITRIC, "3")])], [(7, [(3, 3)])], [(7, [((3, 20), 3)])], [[[]]], [{"pH": "7"}],
    [{"pH": 7, "added": None}], [(7, [((CITRIC, None), 3)])], [(7, {CITRIC: 3})], [7j],
], ids=repr)
def test_readings_of_another_kind_are_a_type_error(readings):
    with pytest.raises(TypeError):
        predict(PLAIN, readings=readings)


def test_an_unknown_adjuster_comes_with_the_nearest():
    for added in (("citrc acid", 3), (("citrc acid", 20), 3)):
        with pytest.raises(UnknownIngredient) as caught:
            predict(PLAIN, readings=[(6, [added])])
        assert caught.value.name == "citrc acid" and "Citric Acid (anhydrous)" in caught.value.suggestions
    with pytest.raises(BadInput) as refusal:
        adjust(PLAIN, adjusters=["citrc acid", "glycerin"])
    assert "Citric Acid (anhydrous)" in refusal.value.problems[0].suggestions and len(refusal.value.problems) == 2


NOT_NUMBERS = (math.nan, math.inf, -math.inf, -1, 1e300)


@pytest.mark.parametrize("readings", [[], READINGS], ids=["unread", "read"])
@pytest.mark.parametrize("name", ["target", "batch_g", "temperature_celsius", "meter", "scale_g"])
def test_options_out_of_range_are_refused(name, readings):
    for value in NOT_NUMBERS:
        assert refused(readings=readings, **{name: value})


@pytest.mark.parametrize("name", ["tolerance", "neutralise"])
def test_options_of_dosing_out_of_range_are_refused(name):
    for value in NOT_NUMBERS:
        with pytest.raises(BadInput):
            adjust(PLAIN, **{name: value}, **FEW)
    with pytest.raises(BadInput):
        adjust(PLAIN, neutralise=0.5)


@pytest.mark.parametrize("draws", [0, 1, 3, 1000, 2**21, 2**40])
def test_draws_are_a_power_of_two(draws):
    with pytest.raises(BadInput):
        predict(PLAIN, draws=draws)


@pytest.mark.parametrize("hold", [
    {}, {"acid_mmol_per_kg": 0}, {"acid": 5}, {"acid_mmol_per_kg": math.nan}, {"acid_mmol_per_kg": -5}, {"base_mmol_per_kg": 1001},
    {"acid_mmol_per_kg": 5, "pH": math.nan}, {"acid_mmol_per_kg": 5, "pH": -1}, {"acid_mmol_per_kg": 5, "pH": 15},
    {"acid_mmol_per_kg": 5, "most_shift": 0}, {"acid_mmol_per_kg": 5, "most_shift": math.nan}, {5: 5},
], ids=repr)
def test_loads_that_mean_nothing_are_refused(hold):
    assert refused(hold=hold)


def test_options_of_another_kind_are_a_type_error():
    for asked in ({"hold": 5}, {"hold": "5 mmol acid"}, {"hold": {"acid_mmol_per_kg": "5"}}, {"draws": -1}, {"draws": 2.5},
                  {"target": "low"}, {"tables": "tables"}, {"adjusters": [CITRIC]}, {"moon": 1}):
        with pytest.raises(TypeError):
            predict(PLAIN, **asked)
    with pytest.raises(TypeError):
        adjust(PLAIN, adjusters=CITRIC)


def test_a_titration_needs_its_sample_and_two_readings(titration):
    for sample_g in (None, 0, -1, 2000, 3000, math.nan, math.inf):
        with pytest.raises(BadInput):
            titrate(HAND_WASH, STEPS, sample_g)
    with pytest.raises(BadInput) as caught:
        titrate(HAND_WASH, [11.6])
    assert len(caught.value.problems) == 2
    for batch_g in NOT_NUMBERS:
        with pytest.raises(BadInput):
            titrate(HAND_WASH, STEPS, 50, batch_g=batch_g)
    with pytest.raises(TypeError):
        titrate(HAND_WASH, STEPS, "50 g")
    with pytest.raises(BadInput, match="titrate"):
        adjust(HAND_WASH, readings=titration)


def test_threads_get_equal_answers():
    asked = [(adjust, {"readings": READINGS, **FEW}), (predict, {"draws": 256}), (adjust, {"readings": [11.8], **FEW})]

    def answer(question):
        function, options = question
        return function(HAND_WASH, **options).to_json()

    alone = [answer(question) for question in asked]
    with ThreadPoolExecutor(8) as pool:
        assert list(pool.map(answer, asked * 8)) == alone * 8


# One batch from the table to the drum


def test_a_batch_is_designed_dosed_read_and_adjusted():
    """The hand wash of the demonstration: its glucoside arrives alkaline, nobody knows how much."""
    formula = Formula(HAND_WASH)
    assert counterion.check(formula).window.feasible
    before = predict(formula)
    assert before.measurements[0].what == "the batch itself" and before.chance_in_window < 0.05

    readings = [11.5]
    answer = read = adjust(formula, readings=readings, target=4.5, adjusters=[CITRIC])
    while answer.plan and answer.plan.additions:
        step = answer.plan.additions[0]
        assert step.low_pH <= step.expected_pH <= step.high_pH
        stock = (answer.plan.adjuster, answer.plan.stock_percent)
        readings.append((round(step.expected_pH, 2), [(stock, step.grams)]))  # the drum reads as expected
        assert len(readings) < 6
        answer = adjust(formula, readings=readings, target=4.5, adjusters=[CITRIC])
    assert len(readings) > 1 and readings[-1][0] == pytest.approx(4.5, abs=0.1)
    now, then = answer.check.prediction, read.check.prediction
    assert now.p95 - now.p05 < then.p95 - then.p05 + 0.1 and answer.check.adjustment_needed is False
    low, high = answer.release
    assert low <= readings[-1][0] <= high
    assert answer.check.formula.total_percent == pytest.approx(100)
    assert not answer.check.stop


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_measurements_would_make_it_surer(path):
    answer = predict(path, draws=256)
    now = answer.check.prediction.p95 - answer.check.prediction.p05
    assert all(one.p95 - one.p05 < now for one in answer.measurements)
