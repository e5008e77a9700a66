# SPDX-License-Identifier: MIT
"""The gate stops a build at a damaged row, and says in which file and line.

usage: gate_test.py PROJECT PACKER
"""
import csv
import pathlib
import shutil
import subprocess
import sys
import tempfile
import unittest

PACKER = sys.argv.pop(2)
FOLDER = pathlib.Path(sys.argv.pop(1)) / "reference-tables"


class Gate(unittest.TestCase):
    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="counterion-gate-"))
        self.addCleanup(shutil.rmtree, self.folder)
        for file in FOLDER.iterdir():
            shutil.copy(file, self.folder)

    def rows(self, table):
        with open(self.folder / f"{table}.csv", encoding="utf-8", newline="") as file:
            return list(csv.DictReader(file))

    def damage(self, table, which, **cells):
        """Changes cells of the first row that fits; returns its line (no row here has line breaks)."""
        rows = self.rows(table)
        at = next(i for i, row in enumerate(rows) if which(row))
        rows[at].update(cells)
        with open(self.folder / f"{table}.csv", "w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, list(rows[0]), lineterminator="\n")
            writer.writeheader()
            writer.writerows(rows)
        return at + 2

    def run_gate(self):
        output = self.folder / "packed.cpp"
        ran = subprocess.run([PACKER, self.folder, output], capture_output=True, text=True, check=False)
        return ran.returncode, ran.stderr, output.exists()

    def assert_stops(self, table, line, *words):
        status, said, written = self.run_gate()
        self.assertEqual(status, 1)
        self.assertFalse(written)
        here = [text for text in said.splitlines() if text.startswith(f"{self.folder}/{table}.csv:{line}:")]
        self.assertTrue(here, f"nothing about line {line} in: {said}")
        for word in words:
            self.assertTrue(any(word in text for text in here), f"no '{word}' in {here}")

    def test_sound_tables_pass(self):
        status, said, written = self.run_gate()
        self.assertEqual((status, said, written), (0, "", True))

    def test_an_unknown_source(self):
        line = self.damage("ranges", lambda row: row["subject"] == "urea", source="hearsay")
        self.assert_stops("ranges", line, "'hearsay'", "a key of the table sources")

    def test_a_dangling_key(self):
        line = self.damage("composition", lambda row: row["component"] == "citric-acid", component="lemon-acid")
        self.assert_stops("composition", line, "'lemon-acid'", "an id of the table substances")
        self.damage("composition", lambda row: row["component"] == "lemon-acid", component="citric-acid")
        line = self.damage("names", lambda row: row["ingredient"] == "urea", ingredient="ureum-x")
        self.assert_stops("names", line, "'ureum-x'", "an id of the table ingredients")

    def test_a_wrong_digit_of_a_cas_number(self):
        line = self.damage("ingredients", lambda row: row["cas"] == "57-13-6", cas="57-13-5")
        self.assert_stops("ingredients", line, "'57-13-5'", "check digit")

    def test_a_minimum_above_the_maximum(self):
        line = self.damage("ranges", lambda row: row["minimum"] and row["maximum"], minimum="13.9", ideal_low="",
                           ideal_high="")
        self.assert_stops("ranges", line, "no less than minimum")

    def test_pK_out_of_order(self):
        line = self.damage("constants", lambda row: (row["substance"], row["quantity"], row["step"], row["rank"]) ==
                           ("citric-acid", "pK", "2", "1"), value="2.1")
        self.assert_stops("constants", line, "pK 2.1 of citric-acid", "no less than the step before it")

    def test_two_rows_of_rank_1(self):
        line = self.damage("ranges", lambda row: row["subject"] == "urea" and row["rank"] == "2", rank="1")
        self.assert_stops("ranges", line, "a second row of rank 1")

    def test_a_row_without_a_source(self):
        line = self.damage("levels", lambda row: row["subject"] == "sodium-benzoate", source="")
        self.assert_stops("levels", line, "an empty cell")

    def test_a_slow_reaction_that_no_forecast_can_compute(self):
        def of_urea(row):
            return row["reactant"] == "urea" and row["quantity"] == "rate-constant"

        line = self.damage("changes", of_urea, product="2 ammonia + soda water")
        self.assert_stops("changes", line, "'soda water'", "ids of the table substances or inert")
        self.damage("changes", of_urea, product="2 ammonia + carbonic-acid", value="")
        self.assert_stops("changes", line, "rate-constant without a value")
        self.damage("changes", of_urea, value="8.42e-10", unit="1/h")
        self.assert_stops("changes", line, "'1/h' for rate-constant", "1/s")
        self.damage("changes", of_urea, unit="1/s", acid_base_effect="alkali")
        self.assert_stops("changes", line, "'alkali'", "base-appears")

    def test_every_fault_is_told_at_once(self):
        first = self.damage("ranges", lambda row: row["subject"] == "urea", source="hearsay")
        second = self.damage("ingredients", lambda row: row["id"] == "urea", cas="57-13-5")
        self.assert_stops("ranges", first, "'hearsay'")
        self.assert_stops("ingredients", second, "'57-13-5'")


if __name__ == "__main__":
    unittest.main(verbosity=1)
