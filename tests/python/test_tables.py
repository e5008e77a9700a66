# SPDX-License-Identifier: MIT
"""The tables as Python sees them."""

import csv
import re

import pytest
from conftest import SOURCE

from counterion import Tables

TABLES = Tables.built_in()


def test_an_ingredient_is_found_by_any_of_its_names():
    water = TABLES["water"]
    assert all(TABLES.find(name).id == water.id for name in ("Aqua", "AQUA", " aqua ", "7732-18-5"))
    assert TABLES.find("unobtainium") is None
    assert "aqua" in TABLES and "unobtainium" not in TABLES


def test_a_row_leads_to_its_source():
    provenance = TABLES["urea"].provenance
    assert provenance.row_id.startswith("ingredients/urea")
    assert TABLES.source(provenance.source).citation
    assert TABLES.source("no such key") is None


def test_rows_are_counted():
    for table, count in TABLES.row_counts.items():
        with open(SOURCE / "reference-tables" / f"{table}.csv", encoding="utf-8", newline="") as file:
            assert count == sum(1 for row in csv.DictReader(file)), table


def test_versions_are_said():
    assert re.fullmatch(r"\d+\.\d+(\.\d+)?", TABLES.schema_version)
    assert re.fullmatch(r"[0-9a-f]{64}", TABLES.sha256)
    assert TABLES.version


def test_ingredients_outlive_the_tables():
    assert Tables.built_in().find("urea").inci == "Urea"


def test_rows_cannot_be_changed():
    with pytest.raises(AttributeError):
        TABLES["urea"].inci = "Water"
