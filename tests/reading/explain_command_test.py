# SPDX-License-Identifier: MIT
"""How `counterion explain` behaves: exit statuses, streams, its schema. explain_command_test.py COMMAND SOURCE_DIRECTORY"""
import json
import os
import pathlib
import subprocess
import sys
import tempfile
import unittest

try:
    import jsonschema
except ImportError:
    jsonschema = None

COMMAND, SOURCE = os.path.abspath(sys.argv[1]), pathlib.Path(sys.argv[2]).resolve()
SAMPLES = SOURCE / "cli" / "samples"
SCHEMA = json.loads((SOURCE / "lib" / "schemas" / "explanation.schema.json").read_text(encoding="utf-8"))
PLAIN = {**os.environ, "LC_ALL": "C.UTF-8", "TERM": "xterm"}


def run(*words, cwd=SAMPLES):
    return subprocess.run([COMMAND, "explain", *map(str, words)], cwd=cwd, env=PLAIN, capture_output=True,
                          stdin=subprocess.DEVNULL, encoding="utf-8", check=False, timeout=120)


def answer(*words):
    ran = run(*words, "--json")
    assert ran.returncode in (0, 1), ran.stderr
    return json.loads(ran.stdout, parse_constant=lambda word: (_ for _ in ()).throw(ValueError(word)))


class Answers(unittest.TestCase):
    def test_a_reading_as_expected_is_0_and_silent(self):
        ran = run("heel-cream.csv", "--reading", "4.0")
        self.assertEqual((ran.returncode, ran.stderr), (0, ""))
        self.assertIn("nothing went wrong", ran.stdout)

    def test_a_stop_of_the_likeliest_cause_is_1(self):
        self.assertEqual(run("brightening-serum.csv", "--reading", "4.5").returncode, 1)

    def test_screens_fit_about_one_page(self):
        for words in (("heel-cream.csv", "--reading", "4.0"), ("heel-cream.csv", "--reading", "4.45"),
                      ("heel-cream.csv", "--reading", "4.6", "--weight", "490")):
            self.assertLessEqual(len(run(*words).stdout.splitlines()), 55, words)

    def test_bad_input_is_2_and_says_what_is_valid(self):
        for words, said in (
                ((), "--reading PH or --log FILE"),
                (("--reading", "x"), "--reading"),
                (("--reading", "15"), "15"),
                (("--reading", "5 after 3"), "25.7 g citric acid"),
                (("--reading", "5 after 3 g saffron"), "saffron"),
                (("--reading", "5", "--found", "nonsense"), "measure-again"),
                (("--reading", "5", "--found", "measure-again: saffron"), "meter-not-calibrated"),
                (("--reading", "5", "--method", "by thumb"), "--method"),
                (("--reading", "5", "--dilution", "a lot"), "--dilution"),
                (("--reading", "5", "--buffer", "seven"), "--buffer"),
                (("--reading", "5", "--buffer", "4 = 4.1\n# batch: 3 g"), "--buffer"),
                (("--reading", "5", "--weight", "-3"), "--weight"),
                (("--reading", "5", "--sample-temperature", "warm"), "--sample-temperature"),
                (("--reading", "5", "--sample-temperature", "300"), "300"),
                (("--reading", "5", "--append"), "--log"),
                (("--log", "none.csv"), "none.csv")):
            with self.subTest(words=words):
                ran = run("heel-cream.csv", *words)
                self.assertEqual((ran.returncode, ran.stdout), (2, ""), ran.stderr)
                self.assertIn(said, ran.stderr)
                self.assertNotIn("should not have happened", ran.stderr)


class Logs(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.addCleanup(self.folder.cleanup)
        self.log = pathlib.Path(self.folder.name) / "readings.csv"

    def write(self, text):
        self.log.write_bytes(text.encode() if isinstance(text, str) else text)

    def test_broken_lines_are_named_and_the_rest_is_used(self):
        self.write("added,g,pH\n,,11.5\n,,eleven\ncitric acid 20 %,25.7,5.1\n")
        ran = run("hand-wash.csv", "--log", self.log)
        self.assertIn(ran.returncode, (0, 1), ran.stderr)
        self.assertIn("line 3", ran.stderr)
        self.assertIn("1 of its lines", ran.stdout)
        got = answer("hand-wash.csv", "--log", self.log)
        self.assertEqual([line["line"] for line in got["log"]["broken"]], [3])
        self.assertEqual(len(got["readings"]), 2)

    def test_readings_after_a_broken_addition_give_no_grams(self):
        self.write("added,g,pH\n,,11.5\nmystery potion,12,6.1\n")
        got = answer("hand-wash.csv", "--log", self.log)
        self.assertEqual(got["log"]["left_out"], 1)
        self.assertTrue(got["withheld"])
        self.assertTrue(all(mend["grams"] is None for mend in got["mend"]))

    def test_hostile_logs_are_refused_or_explained_but_never_crash(self):
        hostile = [b"", b"\n\n", b"pH\n", b"\x00\x01\x02", b"pH\n" + b"9" * 5000, b"pH\nnan\ninf\n-1\n", b"pH;pH\n1;2\n",
                   "pH,note\n4.4,\x1b[31mred\n".encode(), b"\xff\xfe4\x00", b"added,g,pH\n,1e308,4\n",
                   b"# sample: 50 g\npH\n4.4\n", b"# buffer: 4 = 90\npH\n4.4\n", b"pH\n" + b"4.4\n" * 300]
        for text in hostile:
            with self.subTest(text=text[:30]):
                self.write(text)
                ran = run("heel-cream.csv", "--log", self.log)
                self.assertIn(ran.returncode, (0, 1, 2), ran.stderr)
                self.assertNotIn("\x1b", ran.stdout + ran.stderr)

    def test_a_reading_is_appended_and_explained(self):
        self.write("time,added,g,pH\n2026-03-01 14:00,,,4.0\n")
        before = self.log.read_bytes()
        ran = run("heel-cream.csv", "--log", self.log, "--append", "--reading", "4.05", "--time", "2026-03-08 14:00")
        self.assertEqual(ran.returncode, 0, ran.stderr)
        self.assertTrue(self.log.read_bytes().startswith(before))
        self.assertEqual(len(self.log.read_text().splitlines()), 3)
        self.assertIn("From day 0 to day 7", ran.stdout)
        again = run("heel-cream.csv", "--log", self.log, "--append", "--reading", "4.0")
        self.assertEqual(again.returncode, 0, again.stderr)
        self.assertEqual(len(self.log.read_text().splitlines()), 4)

    def test_without_append_it_is_one_of_them(self):
        self.write("pH\n4.0\n")
        self.assertEqual(run("heel-cream.csv", "--log", self.log, "--reading", "4").returncode, 2)
        self.assertEqual(self.log.read_text(), "pH\n4.0\n")

    def test_lots_are_kept_only_where_nothing_else_is_likely(self):
        lots = pathlib.Path(self.folder.name) / "lots"
        ran = run("hand-wash.csv", "--reading", "11.5", "--lots", lots)
        self.assertIn(ran.returncode, (0, 1), ran.stderr)
        self.assertTrue((lots / "levels.csv").exists(), ran.stderr)
        other = pathlib.Path(self.folder.name) / "other"
        ran = run("heel-cream.csv", "--reading", "7.5", "--lots", other)
        self.assertFalse(other.exists())
        self.assertIn("likeliest cause", ran.stderr)


@unittest.skipIf(jsonschema is None, "python3-jsonschema is not installed")
class Schema(unittest.TestCase):
    def test_it_is_a_schema(self):
        jsonschema.Draft202012Validator.check_schema(SCHEMA)

    def test_every_answer_fits_it(self):
        validator = jsonschema.Draft202012Validator(SCHEMA)
        for path in sorted(SAMPLES.glob("*.csv")):
            for words in (("--reading", "4.0"), ("--reading", "7.5"), ("--reading", "3", "--method", "strip"),
                          ("--reading", "6", "--buffer", "4 = 4.1", "--buffer", "7 = 7.1", "--dilution", "1:10"),
                          ("--reading", "8", "--reading", "5 after 3 g citric acid 20 %")):
                with self.subTest(path=path.name, words=words):
                    got = answer(path.name, *words)
                    faults = [f"{list(e.absolute_path)}: {e.message}" for e in validator.iter_errors(got)]
                    self.assertEqual(faults, [])
                    self.assertEqual(list(got), list(SCHEMA["properties"]))

    def test_every_cited_source_stands_in_sources(self):
        def cited(value):
            if isinstance(value, dict):
                own = [value["source"]] if value.get("source") else []
                return own + [key for child in value.values() for key in cited(child)]
            return [key for child in value for key in cited(child)] if isinstance(value, list) else []
        got = answer("heel-cream.csv", "--reading", "7.5")
        known = {k: v for k, v in got.items() if k not in ("sources", "formula")}
        self.assertLessEqual(set(cited(known)), set(got["sources"]))


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1], verbosity=1)
