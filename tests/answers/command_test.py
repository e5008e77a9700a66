# SPDX-License-Identifier: MIT
"""How the command behaves: exit statuses, messages, streams. command_test.py COMMAND SOURCE_DIRECTORY"""
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import unittest

COMMAND, SOURCE = os.path.abspath(sys.argv[1]), pathlib.Path(sys.argv[2]).resolve()
SAMPLES = SOURCE / "cli" / "samples"
FORMULAS = SOURCE / "tests" / "answers" / "formulas"
PLAIN = {**{k: v for k, v in os.environ.items() if k not in ("LANG", "LC_CTYPE", "NO_COLOR")},
         "LC_ALL": "C.UTF-8", "TERM": "xterm"}


def run(*words, cwd=SAMPLES, env=PLAIN, **more):
    more.setdefault("stdin", subprocess.DEVNULL)
    if "input" in more:
        del more["stdin"]
    more.setdefault("stdout", subprocess.PIPE)
    return subprocess.run([COMMAND, *words], cwd=cwd, env=env, stderr=subprocess.PIPE, check=False,
                          timeout=120, **more)


def text(stream):
    return stream.decode("utf-8")


class Statuses(unittest.TestCase):
    def test_no_stop_is_0_and_silent_on_stderr(self):
        ran = run("check", "heel-cream.csv")
        self.assertEqual((ran.returncode, text(ran.stderr)), (0, ""))
        self.assertIn("No stop found in tables", text(ran.stdout))

    def test_an_empty_window_is_1(self):
        ran = run("check", "brightening-serum.csv")
        self.assertEqual(ran.returncode, 1)
        self.assertIn("Sodium Benzoate", text(ran.stdout))

    def test_an_exceeded_limit_is_1(self):
        ran = run("check", "over-the-limit.csv", cwd=FORMULAS)
        self.assertEqual(ran.returncode, 1)
        self.assertIn("over the limit of EU", " ".join(text(ran.stdout).split()))

    def test_a_missing_file_and_a_folder_are_2(self):
        for name in ("no-such.csv", "."):
            ran = run("check", name)
            self.assertEqual((ran.returncode, ran.stdout), (2, b""))
            self.assertTrue(text(ran.stderr).startswith(f"counterion: {name}"), ran.stderr)

    @unittest.skipUnless(os.path.exists("/dev/full"), "no /dev/full here")
    def test_a_full_disk_is_3(self):
        with open("/dev/full", "wb") as full:
            ran = run("check", "heel-cream.csv", stdout=full)
        self.assertEqual(ran.returncode, 3)
        self.assertIn("cannot write", text(ran.stderr))

    @unittest.skipUnless(os.path.exists("/dev/full"), "no /dev/full here")
    def test_messages_that_nobody_can_read_change_no_status(self):
        with open("/dev/full", "wb") as full:
            ran = subprocess.run([COMMAND, "check", "no-such.csv"], cwd=SAMPLES, env=PLAIN, stderr=full,
                                 stdout=subprocess.PIPE, check=False, timeout=120)
        self.assertEqual(ran.returncode, 2)

    def test_a_closed_pipe_is_3_without_a_word(self):
        reader, writer = os.pipe()
        os.close(reader)
        ran = run("check", "heel-cream.csv", stdout=writer)
        os.close(writer)
        self.assertEqual((ran.returncode, ran.stderr), (3, b""))


class Faults(unittest.TestCase):
    def test_all_five_faults_are_told_at_once(self):
        ran = run("check", "five-faults.csv", cwd=FORMULAS)
        self.assertEqual((ran.returncode, ran.stdout), (2, b""))
        said = text(ran.stderr)
        for place, word in ((4, "Citrc acid"), (5, "five"), (6, "-2"), (8, "q.s."), (8, "line 3")):
            lines = [line for line in said.splitlines() if f"five-faults.csv, line {place}, column" in line]
            self.assertTrue(any(word in line for line in lines), f"line {place}: {said}")
        self.assertRegex(said, r"(?i)did you mean '.*citric")
        self.assertTrue(all(line.startswith("counterion: ") for line in said.splitlines()), said)

    def test_a_missing_column_is_told(self):
        ran = run("check", "no-amounts.csv", cwd=FORMULAS)
        self.assertEqual((ran.returncode, ran.stdout), (2, b""))
        self.assertIn("no-amounts.csv", text(ran.stderr))

    def test_an_unlisted_material_is_refused_or_taken_as_not_judged(self):
        refused = run("check", "unlisted.csv", cwd=FORMULAS)
        self.assertEqual((refused.returncode, refused.stdout), (2, b""))
        self.assertIn("--allow-unlisted", text(refused.stderr))
        taken = run("check", "unlisted.csv", "--allow-unlisted", cwd=FORMULAS)
        self.assertEqual(taken.returncode, 0)
        self.assertIn("Moonflower distillate: in no table", " ".join(text(taken.stdout).split()))
        self.assertIn("Moonflower", text(taken.stderr))

    def test_a_mistyped_word_gets_the_nearest(self):
        for words, guess in ((("chekc", "heel-cream.csv"), "'check'"),
                             (("check", "heel-cream.csv", "--jsn"), "'--json'"),
                             (("check", "heel-cream.csv", "--bach", "5"), "'--batch'")):
            ran = run(*words)
            self.assertEqual((ran.returncode, ran.stdout), (2, b""))
            self.assertIn(f"did you mean {guess}", text(ran.stderr))

    def test_wrong_use_is_2(self):
        for words in ((), ("check",), ("check", "a.csv", "b.csv"), ("check", "heel-cream.csv", "--target"),
                      ("check", "heel-cream.csv", "--target", "acid"), ("check", "heel-cream.csv", "--target", "77"),
                      ("check", "heel-cream.csv", "--batch", "2 pounds"), ("check", "heel-cream.csv", "--batch", "-5"),
                      ("check", "heel-cream.csv", "--type", "moon"), ("check", "heel-cream.csv", "--use", "x"),
                      ("check", "heel-cream.csv", "--jurisdiction", "Mars"),
                      ("check", "heel-cream.csv", "--adjuster", "glycerin"),
                      ("check", "heel-cream.csv", "--adjuster", "unobtainium")):
            ran = run(*words)
            self.assertEqual((ran.returncode, ran.stdout), (2, b""), words)
            self.assertTrue(ran.stderr, words)


class OwnTables(unittest.TestCase):
    """`tables FOLDER`, and `--tables FOLDER` of the others."""

    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="counterion-own-"))
        self.addCleanup(shutil.rmtree, self.folder)

    def write(self, name, content):
        (self.folder / name).write_text(content, encoding="utf-8")

    def test_a_shops_own_lot_decides_the_answer(self):
        self.write("ranges.csv", "subject,kind,minimum,maximum,at_percent\ndecyl-glucoside-50,as-supplied,7.4,7.6,10\n")
        usual = json.loads(run("check", "hand-wash.csv", "--json").stdout)
        own = json.loads(run("check", "hand-wash.csv", "--json", "--tables", self.folder).stdout)
        self.assertGreater(usual["prediction"]["pH"], 11)
        self.assertLess(own["prediction"]["pH"], 9)
        self.assertTrue(own["counterion"]["tables_version"].endswith("+own"))
        self.assertNotEqual(own["counterion"]["tables_sha256"], usual["counterion"]["tables_sha256"])

    def test_a_sound_folder_is_counted(self):
        self.write("names.csv", "name,ingredient\nsweet drops,glycerin\n")
        ran = run("tables", self.folder)
        self.assertEqual((ran.returncode, text(ran.stderr)), (0, ""))
        self.assertIn("(+1)", text(ran.stdout))

    def test_a_faulty_folder_is_2_and_says_every_place(self):
        self.write("names.csv", "name,ingredient\nsweet drops,glycerine-x\n")
        self.write("levels.csv", "subject,kind,value,unit\nurea,residual-charge,some,meq_per_g\n")
        for words in (("tables", self.folder), ("check", "hand-wash.csv", "--tables", self.folder)):
            ran = run(*words)
            self.assertEqual((ran.returncode, ran.stdout), (2, b""), words)
            self.assertIn("levels.csv, line 2, column 3", text(ran.stderr))

    def test_the_reference_tables_themselves_stand_alone(self):
        ran = run("tables", SOURCE / "reference-tables")
        self.assertEqual((ran.returncode, text(ran.stderr)), (0, ""))
        self.assertIn("stands alone", text(ran.stdout))

    def test_files_that_are_no_tables_are_told_or_left_alone(self):
        self.write(".#ranges.csv", "an editor's lock")
        self.write("names.csv", "name,ingredient\nsweet drops,glycerin\n")
        self.assertEqual(run("tables", self.folder).returncode, 0)
        (self.folder / "ranges.csv").mkdir()
        ran = run("tables", self.folder)
        self.assertEqual((ran.returncode, ran.stdout), (2, b""))
        self.assertIn("no regular file", text(ran.stderr))

    def test_an_unset_folder_is_2(self):
        ran = run("check", "hand-wash.csv", "--tables", "")
        self.assertEqual((ran.returncode, ran.stdout), (2, b""))

    def test_no_folder_is_2(self):
        ran = run("tables", self.folder / "none")
        self.assertEqual((ran.returncode, ran.stdout), (2, b""))
        self.assertIn("there is no such folder", text(ran.stderr))


class Ingredients(unittest.TestCase):
    def test_every_number_leads_to_a_row_and_a_source(self):
        shown = text(run("ingredient", "sodium benzoate").stdout)
        marks = set(re.findall(r"\[(\d+)\]", shown.split("Sources: ")[0]))
        listed = set(re.findall(r"^  \[(\d+)\] \w+/", shown.split("Sources: ")[1], re.MULTILINE))
        self.assertEqual(marks, listed)
        self.assertGreater(len(listed), 10)

    def test_contradictions_are_shown_with_the_reason_of_the_first(self):
        shown = " ".join(text(run("ingredient", "urea").stdout).split())
        self.assertIn("or as-supplied: 7.2", shown)
        self.assertIn("first because:", shown)

    def test_json_holds_the_rows(self):
        facts = json.loads(run("ingredient", "E 300", "--json").stdout)
        self.assertEqual(facts["ingredient"]["id"], "ascorbic-acid")
        self.assertTrue(all(row["row_id"] for row in facts["ranges"] + facts["levels"]))

    def test_a_name_of_several_meanings_asks(self):
        ran = run("ingredient", "EDTA")
        self.assertEqual((ran.returncode, ran.stdout), (2, b""))
        self.assertIn("'Disodium EDTA'", text(ran.stderr))

    def test_a_misspelt_name_gets_the_nearest(self):
        ran = run("ingredient", "niacinamid")
        self.assertEqual(ran.returncode, 0)  # the German name
        ran = run("ingredient", "niacinammide")
        self.assertEqual((ran.returncode, ran.stdout), (2, b""))
        self.assertIn("did you mean 'Niacinamide'", text(ran.stderr))


class Questions(unittest.TestCase):
    def test_a_name_too_open_to_guess_is_2_and_says_what_each_would_give(self):
        ran = run("check", "-", input=b"ingredient,percent\nEDTA,0.2\nwater,q.s.\n")
        self.assertEqual((ran.returncode, ran.stdout), (2, b""))
        self.assertRegex(text(ran.stderr), r"line 2.*'EDTA' may be Disodium EDTA \(pH \d.\d\d\) or .*\(pH \d+.\d\d\)")

    def test_one_that_hardly_matters_is_said(self):
        ran = run("check", "-", input=b"ingredient,percent\ncitric acid,0.5\nwater,q.s.\n")
        self.assertIn("is taken as Citric Acid (anhydrous)", text(ran.stderr))


class Options(unittest.TestCase):
    def test_help_shows_an_example_and_only_what_exists(self):
        for words, example in ((("--help",), "check heel-cream.csv"), (("check", "--help"), "check heel-cream.csv"),
                               (("check", "-h"), "check heel-cream.csv"), (("ingredient", "--help"), "ingredient urea"),
                               (("predict", "--help"), "predict heel-cream.csv"), (("adjust", "--help"), "adjust hand-wash.csv"),
                               (("titrate", "--help"), "titrate hand-wash.csv"),
                               (("explain", "--help"), "explain heel-cream.csv"), (("tables", "--help"), "tables my-materials")):
            ran = run(*words)
            self.assertEqual(ran.returncode, 0)
            self.assertIn(f"counterion {example}", text(ran.stdout))
        shown = text(run("--help").stdout)
        for later in ("report",):
            self.assertNotIn(f"\n  {later} ", shown)
        self.assertLessEqual(max(map(len, shown.splitlines())), 100)

    def test_version_names_program_and_tables(self):
        ran = run("--version")
        self.assertRegex(text(ran.stdout), r"^counterion \d+\.\d+\.\d+ \(tables \d+\.\d+\.\d+\)\n$")

    def test_standard_input_gives_the_same_answer_as_the_file(self):
        for name in ("heel-cream.csv", "hand-wash.csv"):
            piped = run("check", "-", input=(SAMPLES / name).read_bytes())
            self.assertEqual(piped.returncode, 0)
            self.assertEqual(text(piped.stdout), text(run("check", name).stdout))

    def test_a_fault_in_standard_input_says_so(self):
        ran = run("check", "-", input=b"Ingredient,Percent\nfoo,1\n")
        self.assertEqual(ran.returncode, 2)
        self.assertIn("standard input, line 2", text(ran.stderr))

    def test_batches_in_grams_and_kilograms_are_the_same(self):
        answers = [run("check", "hand-wash.csv", "--batch", size).stdout for size in ("2000", "2000 g", "2 kg", "2,0kg")]
        self.assertTrue(answers[0])
        self.assertEqual(len(set(answers)), 1)

    def test_adjusters_may_be_repeated(self):
        ran = run("check", "hand-wash.csv", "--json", "--adjuster", "lactic-acid-80", "--adjuster", "Citric acid anhydrous")
        self.assertEqual([a["adjuster"] for a in json.loads(ran.stdout)["adjustment"]], ["lactic-acid-80", "citric-acid"])

    def test_options_reach_the_answer(self):
        got = json.loads(run("check", "heel-cream.csv", "--json", "--target", "4,4", "--type", "body", "--use",
                             "rinse-off", "--jurisdiction", "EU", "--temperature", "20").stdout)
        self.assertEqual(got["target_pH"], 4.4)
        self.assertEqual((got["formula"]["type"], got["formula"]["use"]), ("body", "rinse-off"))
        self.assertEqual({limit["market"] for limit in got["limits"]}, {"EU"})
        self.assertAlmostEqual(got["options"]["temperature_celsius"], 20)

    def test_what_is_kept_or_ruled_out_reaches_the_remedies(self):
        plain = json.loads(run("check", "brightening-serum.csv", "--json").stdout)
        self.assertTrue(plain["remedies"])
        self.assertTrue(plain["conflicts"][0]["remedies"])
        kept = json.loads(run("check", "brightening-serum.csv", "--json", "--keep", "sodium benzoate", "--without",
                              "paraben", "--meter", "0,2").stdout)
        self.assertEqual(kept["options"]["meter_pH"], 0.2)
        for remedy in kept["remedies"]:
            for change in remedy["changes"]:
                self.assertNotIn("Sodium Benzoate", change["names"])
        self.assertEqual(json.loads(run("check", "brightening-serum.csv", "--json", "--no-remedies").stdout)["remedies"], [])
        self.assertIn(b"did you mean", run("check", "hand-gel.csv", "--keep", "sodium benzoat").stderr)

    def test_all_says_more(self):
        short, long = (run("check", "hand-wash.csv", *more).stdout for more in ((), ("--all",)))
        self.assertIn(b"--all", short)
        self.assertGreater(len(long), len(short))


class Batches(unittest.TestCase):
    """predict, adjust and titrate."""
    WASH = "hand-wash.csv"

    def test_a_reading_with_what_was_added_before_it_reaches_the_answer(self):
        ran = run("adjust", self.WASH, "--reading", "11.8", "--reading", "5.1 after 20 g citric acid (anhydrous) 20 %", "--target", "4.5",
                  "--json")
        self.assertEqual(ran.returncode, 0, text(ran.stderr))
        answer = json.loads(text(ran.stdout))
        self.assertEqual([reading["pH"] for reading in answer["learned"]["readings"]], [11.8, 5.1])
        self.assertAlmostEqual(answer["prediction"]["pH"], 5.1, delta=0.05)
        self.assertGreater(answer["plan"]["additions"][0]["grams"], 1)

    def test_a_log_says_the_same_as_its_readings(self):
        with tempfile.TemporaryDirectory() as folder:
            log = pathlib.Path(folder) / "log.csv"
            log.write_text("Zugabe;g;pH\n;;11,8\nCitronensäure wasserfrei 20 %;20,0;5,1\n", encoding="utf-8")
            one = run("adjust", self.WASH, "--log", str(log), "--target", "4.5", "--json")
        self.assertEqual(one.returncode, 0, text(one.stderr))
        other = run("adjust", self.WASH, "--reading", "11.8", "--reading", "5.1 after 20 g citric acid (anhydrous) 20 %", "--target", "4.5",
                    "--json")
        self.assertAlmostEqual(json.loads(text(one.stdout))["plan"]["additions"][0]["grams"],
                               json.loads(text(other.stdout))["plan"]["additions"][0]["grams"], delta=0.5)

    def test_faults_of_readings_say_what_was_expected(self):
        for words, said in ((["--reading", "acid"], "--reading is 'acid'"), (["--reading", "5 after some acid"], "grams and what was added"),
                            (["--reading", "17"], "pH 0 to 14"), (["--reading", "5 after 3 g nosuchthing"], "nosuchthing"),
                            (["--hold", "5"], "mmol acid"), (["--scale", "0"], "scale is 0"), (["--tolerance", "9"], "tolerance is 9"),
                            (["--neutralise", "60"], "carbomer"), (["--log", "nowhere.csv"], "nowhere.csv")):
            with self.subTest(words=words):
                ran = run("adjust", self.WASH, *words)
                self.assertEqual(ran.returncode, 2)
                self.assertIn(said, text(ran.stderr))
                self.assertEqual(ran.stdout, b"")

    def test_the_curve_is_a_picture_or_a_clear_error(self):
        with tempfile.TemporaryDirectory() as folder:
            picture = pathlib.Path(folder) / "curve.svg"
            self.assertEqual(run("adjust", self.WASH, "--curve", str(picture)).returncode, 0)
            self.assertTrue(picture.read_text(encoding="utf-8").startswith("<svg"))
            ran = run("adjust", self.WASH, "--curve", str(pathlib.Path(folder) / "nowhere" / "curve.svg"))
            self.assertEqual(ran.returncode, 3)
            self.assertIn("cannot write", text(ran.stderr))
            self.assertEqual([path.name for path in pathlib.Path(folder).iterdir()], ["curve.svg"])

    def test_storage_reaches_the_forecast(self):
        for said, stays in (("25", [(730.5, 25)]), ("12 weeks at 45", [(84, 45)]), ("90 days at 40, then 25", [(90, 40), (640.5, 25)]),
                            ("2,5 weeks at 40 °C; 1 year at 20C then 5", [(17.5, 40), (365.25, 20), (365.25, 5)])):
            with self.subTest(said=said):
                drift = json.loads(text(run("predict", "heel-cream.csv", "--json", "--storage", said).stdout))["drift"]
                self.assertEqual([(stay["days"], stay["celsius"]) for stay in drift["storage"]], stays)
                self.assertEqual(drift["points"][-1]["days"], sum(days for days, _ in stays))

    def test_faults_of_storage_are_told_at_once_with_their_place(self):
        for said, faults in (("warm", ["character 1: 'warm'"]), ("90 days at 400, then 5 moons at 25", ["character 12: '400'", "'5 moons'"]),
                             ("40, 25", ["character 1: '40'"]), ("-3 days at 25", ["'-3 days'"]), ("0 days at 25", ["'0 days'"]), (";", ["--storage is ';'"])):
            with self.subTest(said=said):
                ran = run("predict", "heel-cream.csv", "--storage", said)
                self.assertEqual((ran.returncode, ran.stdout), (2, b""))
                for fault in faults:
                    self.assertIn(fault, text(ran.stderr))
                self.assertEqual(len(text(ran.stderr).splitlines()), len(faults))

    def test_a_reading_may_say_how_old_the_batch_was(self):
        ran = run("predict", "heel-cream.csv", "--json", "--reading", "3.9", "--reading", "3.9 after 7 days", "--reading", "2.4 after 2 months")
        series = json.loads(text(ran.stdout))["series"]
        self.assertEqual([(one["days"], one["as_expected"]) for one in series], [(7, True), (60.875, False)])
        ran = run("predict", "heel-cream.csv", "--json", "--reading", "3.9", "--reading", "4.1 after 2 g sodium hydroxide 10 % after 1 day")
        self.assertEqual(ran.returncode, 0, text(ran.stderr))
        self.assertEqual(json.loads(text(ran.stdout))["series"], [])
        self.assertEqual(run("predict", "heel-cream.csv", "--reading", "3.9 after -2 days").returncode, 2)

    def test_a_log_with_days_is_judged(self):
        with tempfile.TemporaryDirectory() as folder:
            log = pathlib.Path(folder) / "log.csv"
            log.write_text("time,pH,method\nday 0,3.9,meter\nday 7,3.9,meter\nday 60,3.0,strip\n", encoding="utf-8")
            ran = run("predict", "heel-cream.csv", "--json", "--log", str(log))
        self.assertEqual(ran.returncode, 0, text(ran.stderr))
        self.assertEqual([one["days"] for one in json.loads(text(ran.stdout))["series"]], [7, 60])

    def test_the_curve_of_predict_is_the_ph_in_time(self):
        with tempfile.TemporaryDirectory() as folder:
            picture = pathlib.Path(folder) / "curve.svg"
            self.assertEqual(run("predict", "heel-cream.csv", "--curve", str(picture)).returncode, 0)
            drawn = picture.read_text(encoding="utf-8")
        self.assertTrue(drawn.startswith("<svg"))
        for label in ("1 day", "1 week", "1 month", "after mixing"):
            self.assertIn(f">{label}<", drawn)

    def test_a_titration_needs_its_sample(self):
        titration = str(SOURCE / "tests" / "dosing" / "data" / "titration.csv")
        self.assertEqual(run("titrate", self.WASH, titration).returncode, 0)
        with tempfile.TemporaryDirectory() as folder:
            bare = pathlib.Path(folder) / "bare.csv"
            bare.write_text("g,pH\n0,11.9\n0.4,6.0\n", encoding="utf-8")
            ran = run("titrate", self.WASH, str(bare), "--with", "citric acid (anhydrous) 10 %")
            self.assertEqual(ran.returncode, 2)
            self.assertIn("the size of the sample is not said", text(ran.stderr))
            self.assertEqual(run("titrate", self.WASH, str(bare), "--with", "citric acid (anhydrous) 10 %", "--sample", "50 g").returncode, 0)

    def test_predict_gives_the_distribution_and_no_plan(self):
        answer = json.loads(text(run("predict", self.WASH, "--json").stdout))
        self.assertEqual(answer["distribution"]["draws"], 4096)
        self.assertIsNone(answer["plan"])
        self.assertTrue(answer["measurements"])


class Looks(unittest.TestCase):
    def test_a_pipe_gets_no_colour_and_80_columns(self):
        shown = text(run("check", "hand-wash.csv").stdout)
        self.assertNotIn("\x1b", shown)
        self.assertLessEqual(max(map(len, shown.splitlines())), 80)

    def test_the_locale_decides_about_utf8(self):
        for name, value, plain in (("LC_ALL", "C", True), ("LANG", "de_DE.UTF-8", False), ("LANG", "C", True)):
            env = {k: v for k, v in PLAIN.items() if k != "LC_ALL"}
            shown = run("check", "hand-wash.csv", env={**env, name: value}).stdout
            self.assertEqual(all(byte < 128 for byte in shown), plain, (name, value))

    def test_no_absolute_path_is_shown(self):
        for more in ((), ("--json",), ("--all",)):
            shown = text(run("check", "brightening-serum.csv", *more).stdout)
            self.assertNotIn(str(SOURCE), shown)

    @unittest.skipIf(os.name == "nt", "needs a pseudo-terminal")
    def test_a_terminal_gets_colour_unless_asked_not_to(self):
        self.assertIn(b"\x1b[", in_terminal({}))
        self.assertNotIn(b"\x1b[", in_terminal({"NO_COLOR": "1"}))
        self.assertNotIn(b"\x1b[", in_terminal({"TERM": "dumb"}))
        self.assertNotIn(b"\x1b[", in_terminal({}, "--no-color"))


def in_terminal(environment, *options):
    import pty
    parent, child = pty.openpty()
    with subprocess.Popen([COMMAND, "check", "hand-gel.csv", *options], cwd=SAMPLES, env={**PLAIN, **environment},
                          stdin=subprocess.DEVNULL, stdout=child, stderr=subprocess.DEVNULL) as process:
        os.close(child)
        shown = b""
        while True:
            try:
                piece = os.read(parent, 65536)
            except OSError:
                break
            if not piece:
                break
            shown += piece
        process.wait()
    os.close(parent)
    return shown


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1], verbosity=1)
