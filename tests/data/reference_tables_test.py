# SPDX-License-Identifier: MIT
"""The files of reference-tables: their form, what they hold, how much of it was looked up, and that
nobody changed them by accident.

usage: reference_tables_test.py PROJECT
COUNTERION_REGENERATE=1 writes the fingerprint anew; look at what has changed before you commit it.
"""
import collections
import csv
import hashlib
import json
import os
import pathlib
import sys
import unittest

PROJECT = pathlib.Path(sys.argv.pop(1))
FOLDER = PROJECT / "reference-tables"
FINGERPRINT = PROJECT / "tests/data/fingerprint.json"
PACKAGE = json.loads((FOLDER / "datapackage.json").read_text(encoding="utf-8"))
SCHEMAS = {resource["name"]: resource["schema"] for resource in PACKAGE["resources"]}


def read(table):
    with open(FOLDER / f"{table}.csv", encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def columns_of(schema):
    return [field["name"] for field in schema["fields"]]


TABLES = {table: read(table) for table in SCHEMAS}
FACTS = [table for table, schema in SCHEMAS.items() if "reliability" in columns_of(schema)]


def number(text):
    try:
        return float(text)
    except ValueError:
        return None


def fingerprint(table):
    """How many rows, the sum of every column of numbers, and the digest of the bytes."""
    sums = {}
    for field in SCHEMAS[table]["fields"]:
        if field["type"] in ("number", "integer"):
            values = [number(row[field["name"]]) for row in TABLES[table]]
            sums[field["name"]] = round(sum(value for value in values if value is not None), 6)
    digest = hashlib.sha256((FOLDER / f"{table}.csv").read_bytes()).hexdigest()
    return {"rows": len(TABLES[table]), "sums": sums, "sha256": digest}


def sort_key(table, row):
    key = [row[name] for name in SCHEMAS[table]["primaryKey"]]
    return [(int(text) if text else -1) if name == "step" else text
            for name, text in zip(SCHEMAS[table]["primaryKey"], key)]


def share(rows):
    """Rows that were looked up, with and without those computed from a figure that was read."""
    count = collections.Counter(row["reliability"] for row in rows)
    read_there = count["looked-up"] / len(rows)
    return read_there, read_there + count["computed"] / len(rows), count


def first_pk():
    """The pK that are used; those of buffering groups, solids and clay are conventions and no facts."""
    def is_convention(substance):
        return substance.startswith("buffer-group-") or substance.endswith("-solid") or substance == "clay-site"

    return [row for row in TABLES["constants"] if row["quantity"] == "pK" and row["rank"] == "1"
            and not is_convention(row["substance"])]


class Form(unittest.TestCase):
    def test_files_are_utf8_with_line_feeds_and_no_mark(self):
        for table in TABLES:
            text = (FOLDER / f"{table}.csv").read_bytes()
            self.assertNotIn(b"\r", text, table)
            self.assertTrue(text.endswith(b"\n"), table)
            self.assertFalse(text.startswith(b"\xef\xbb\xbf"), table)
            text.decode("utf-8")

    def test_headers_are_those_of_the_package(self):
        for table in TABLES:
            header = (FOLDER / f"{table}.csv").read_text(encoding="utf-8").split("\n", 1)[0]
            self.assertEqual(header.split(","), columns_of(SCHEMAS[table]), table)

    def test_rows_are_sorted_by_their_key_and_quoted_only_where_needed(self):
        for table, rows in TABLES.items():
            keys = [sort_key(table, row) for row in rows]
            self.assertEqual(keys, sorted(keys), table)
            written = FOLDER / f"{table}.csv"
            lines = [columns_of(SCHEMAS[table])] + [list(row.values()) for row in rows]
            file = Lines()
            csv.writer(file, lineterminator="\n").writerows(lines)
            self.assertEqual(file.text, written.read_text(encoding="utf-8"), table)

    def test_no_cell_has_blanks_around_it(self):
        for table, rows in TABLES.items():
            for row in rows:
                for column, text in row.items():
                    self.assertEqual(text, text.strip(), (table, column, text))


class Lines:
    """Collects what a writer writes."""

    def __init__(self):
        self.text = ""

    def write(self, text):
        self.text += text


class Content(unittest.TestCase):
    def test_the_fingerprint_is_the_one_that_was_approved(self):
        now = {table: fingerprint(table) for table in sorted(TABLES)}
        if os.environ.get("COUNTERION_REGENERATE"):
            FINGERPRINT.write_text(json.dumps(now, indent=1) + "\n", encoding="utf-8")
        approved = json.loads(FINGERPRINT.read_text(encoding="utf-8"))
        for table, print_now in now.items():
            self.assertEqual(print_now, approved[table], f"{table}.csv: see COUNTERION_REGENERATE in {__file__}")

    def test_every_fact_has_a_source_and_every_source_a_fact(self):
        known = {source["key"] for source in TABLES["sources"]}
        used = {row["source"] for table, rows in TABLES.items() if table != "sources" for row in rows}
        self.assertEqual(used - known, set())
        self.assertEqual(known - used, set())

    def test_what_was_looked_up_says_where_when_and_what_it_read(self):
        seen = {source["key"]: source["date_seen"] for source in TABLES["sources"]}
        for table in FACTS:
            for row in TABLES[table]:
                if row["reliability"] == "looked-up":
                    self.assertTrue(row["locator"] and row["as_printed"] and seen[row["source"]], row)

    def test_nothing_is_cited_from_a_forum_shop_or_supplier(self):
        kinds = {source["key"]: source["kind"] for source in TABLES["sources"]}
        for source in TABLES["sources"]:
            if source["kind"] != "common-practice":
                for word in ("forum", "retail", " shop", "supplier", "http", "www."):
                    self.assertNotIn(word, source["citation"].lower().replace("pta-forum", ""), source["key"])
        for table in FACTS:
            for row in TABLES[table]:
                if kinds[row["source"]] in ("common-practice", "memory", "assumption"):
                    self.assertNotEqual(row["reliability"], "looked-up", row)

    def test_there_is_as_much_as_was_asked(self):
        levels, ranges = TABLES["levels"], TABLES["ranges"]
        preservatives = {row["id"] for row in TABLES["ingredients"]
                         if {"preservative", "preservative-booster"} & set(row["functions"].split(";"))}
        subjects = lambda rows, kind: {row["subject"] for row in rows if row["kind"] == kind}
        pk = first_pk()
        guessed = {row["substance"] for row in pk if row["reliability"] in ("memory", "assumption", "common-practice")}
        for what, found, asked in (
                ("ingredients", len(TABLES["ingredients"]), 350),
                ("other names", len(TABLES["names"]), 1000),
                ("substances with sourced pK", len({row["substance"] for row in pk} - guessed), 90),
                ("preservatives and boosters", len(preservatives), 90),
                ("of them with a span of pH or a level", len(preservatives & ({row["subject"] for row in ranges} |
                                                              {row["subject"] for row in levels})), 90),
                ("adjusters", len(subjects(levels, "adjuster-stock")), 35),
                ("cautions", len(TABLES["cautions"]), 150),
                ("materials with a declared pH", len(subjects(ranges, "as-supplied")), 80),
                ("thickeners with electrolyte tolerance", len(subjects(levels, "electrolyte-tolerance")), 30),
                ("slow changes", len(TABLES["changes"]), 90),
                ("limits of law", sum(row["kind"] == "legal-maximum" for row in levels), 100)):
            print(f"{what}: {found} (asked {asked})")
            self.assertGreaterEqual(found, asked, what)

    def test_the_shares_that_were_looked_up(self):
        levels, ranges = TABLES["levels"], TABLES["ranges"]
        preservation = [row for row in ranges if row["kind"] == "preservation"] + [
            row for row in levels if row["kind"] in ("minimum-inhibitory", "minimum-undissociated",
                                                     "use-as-preservative-minimum")]
        preservatives = {row["subject"] for row in preservation}
        legal = [row for row in levels if row["kind"] in ("legal-maximum", "advised-maximum")]
        preservation += [row for row in legal if row["subject"] in preservatives]
        pk = first_pk()
        for what, rows, least in (("pK, rank 1", pk, 0.60), ("limits", legal, 0.60),
                                  ("preservatives", preservation, 0.60), ("ranges", ranges, 0.35),
                                  ("cautions", TABLES["cautions"], 0.50)):
            looked_up, with_computed, count = share(rows)
            print(f"{what}: {len(rows)} rows, looked up {looked_up:.1%}, with computed {with_computed:.1%}; {dict(count)}")
            self.assertGreaterEqual(looked_up, least, what)


if __name__ == "__main__":
    unittest.main(verbosity=1)
