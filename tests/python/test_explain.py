# SPDX-License-Identifier: MIT
"""Explanations are the command's, immutable, and take what the command takes."""

import json
import subprocess
from concurrent.futures import ThreadPoolExecutor

import pytest
from conftest import SOURCE

import counterion
from counterion import BadInput, explain

HEEL_CREAM = SOURCE / "cli" / "samples" / "heel-cream.csv"
HAND_WASH = SOURCE / "cli" / "samples" / "hand-wash.csv"


def run(command, *arguments):
    done = subprocess.run([command, "explain", *map(str, arguments), "--json"], capture_output=True, encoding="utf-8")
    assert done.returncode in (0, 1), done.stderr
    return json.loads(done.stdout)


@pytest.mark.parametrize("pH", [3.2, 4.0, 4.45, 7.5])
def test_it_is_the_command_s(sample, command, pH):
    assert explain(sample, [pH]).to_dict() == run(command, sample, "--reading", pH)


def test_options_mean_what_they_mean_to_the_command(command):
    said = run(command, HEEL_CREAM, "--reading", "4.6", "--found", "measure-again: nothing", "--weight", "490", "--batch", "500",
               "--target", "4.4", "--meter", "0.05", "--scale", "0.1", "--tolerance", "0.2", "--jurisdiction", "EU",
               "--adjuster", "lactic acid 80 %", "--temperature", "22", "--method", "meter-two-points",
               "--sample-temperature", "40", "--not-compensated", "--buffer", "4.01 = 4.05", "--buffer", "7 = 7.02")
    answer = explain(HEEL_CREAM, [4.6], findings=["measure-again: nothing", "weigh-batch: 490 g"], batch_g=500, target=4.4,
                     meter=0.05, scale_g=0.1, tolerance=0.2, jurisdiction="EU", adjusters=["lactic acid 80 %"],
                     temperature_celsius=22, method="meter-two-points", sample_temperature_celsius=40, compensated=False,
                     buffers=[(4.01, 4.05), (7, 7.02)])
    assert answer.to_dict() == said
    strip = run(command, HAND_WASH, "--reading", "9", "--method", "strip 0.5", "--dilution", "10 g in 90 g")
    assert explain(HAND_WASH, [9], method="strip", step=0.5, dilution=(10, 90)).to_dict() == strip


def test_a_log_is_read_as_the_command_reads_it(command, tmp_path):
    log = tmp_path / "readings.csv"
    log.write_text("added,g,pH\n,,11.5\ncitric acid 20 %,25.7,5.1\n,,not a number\n", encoding="utf-8")
    answer = explain(HAND_WASH, log)
    assert answer.to_dict() == run(command, HAND_WASH, "--log", log)
    assert [line["line"] for line in answer.to_dict()["log"]["broken"]] == [4]


def test_it_is_typed_and_immutable():
    answer = explain(HEEL_CREAM, [4.45])
    assert answer.measurement.difference == "real"
    assert answer.causes[0].probability >= answer.causes[1].probability
    assert sum(cause.probability for cause in answer.causes) == pytest.approx(1)
    assert answer.checks[0].outcomes[0].leading[0][1] <= 1
    assert all(0 <= mend.cause < len(answer.causes) for mend in answer.mends)
    assert str(answer).startswith("Muschelbach heel cream")
    assert answer == explain(HEEL_CREAM, [4.45])
    assert answer != explain(HEEL_CREAM, [4.0])
    for name in ("causes", "mends", "withheld"):
        with pytest.raises(AttributeError):
            setattr(answer, name, None)
    assert "Cause" in repr(answer.causes[0]) and "Explanation" in repr(answer)


@pytest.mark.parametrize("asked", [
    {"findings": ["nonsense"]}, {"findings": ["measure-again: saffron"]}, {"method": "litmus"}, {"dilution": (0, 10)},
    {"sample_temperature_celsius": 200}, {"target": 15}, {"buffers": [(4.01, 90)]},
])
def test_what_means_nothing_is_refused(asked):
    with pytest.raises(BadInput):
        explain(HEEL_CREAM, [4.4], **asked)


def test_readings_must_be_some():
    with pytest.raises(BadInput):
        explain(HEEL_CREAM, [])
    with pytest.raises(TypeError):
        explain(HEEL_CREAM, 4.4)


def test_other_threads_run_while_it_works():
    with ThreadPoolExecutor(4) as pool:
        answers = list(pool.map(lambda pH: explain(HEEL_CREAM, [pH]), [4.0, 4.45] * 4))
    assert answers[0] == answers[2] and answers[1] == answers[3]


def test_the_schema_is_shipped():
    from pathlib import Path
    name = "explanation.schema.json"
    shipped = (Path(counterion.__file__).parent / "schemas" / name).read_text("utf-8")
    assert json.loads(shipped) == json.loads((SOURCE / "lib" / "schemas" / name).read_text("utf-8"))
