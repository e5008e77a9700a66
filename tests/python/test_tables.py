# SPDX-License-Identifier: MIT
"""The tables as Python sees them."""

import csv
import hashlib
import re

import pytest
from conftest import SOURCE

from counterion import BadInput, Tables, UnknownIngredient, check

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


def test_a_name_may_mean_several_ingredients():
    assert [one.id for one in TABLES.meanings("EDTA")][:2] == ["disodium-edta-dihydrate", "tetrasodium-edta"]
    assert TABLES.meanings("unobtainium") == ()
    assert [one.id for one in TABLES.meanings("citric-acid")] == ["citric-acid"]


def test_a_name_that_may_mean_too_different_things_is_asked_about():
    with pytest.raises(BadInput) as caught:
        check({"EDTA": 0.2, "Water": "q.s."})
    (problem,) = caught.value.problems
    assert "pH" in problem.found and "Disodium EDTA" in problem.found
    assert all(len(TABLES.meanings(name)) == 1 for name in problem.suggestions)


def test_a_small_difference_is_not_asked_but_told():
    result = check({"Citric acid": 0.2, "Water": "q.s."})
    (question,) = result.to_dict()["questions"]
    assert [choice["ingredient"] for choice in question["choices"]] == ["citric-acid", "citric-acid-monohydrate"]
    assert 0 < question["spread_pH"] <= 0.1
    assert any("is taken as Citric Acid (anhydrous)" in one.message for one in result.formula.diagnostics)


def test_own_tables_are_laid_over(tmp_path):
    (tmp_path / "ingredients.csv").write_text("id,inci\nour-rose-water,Rosa Damascena Flower Water\n")
    (tmp_path / "composition.csv").write_text("ingredient,component,mass_fraction\nour-rose-water,water,1\n")
    (tmp_path / "ranges.csv").write_text(
        "subject,kind,minimum,maximum,at_percent\nour-rose-water,as-supplied,4.4,4.6,100\n")
    own = TABLES.with_folder(tmp_path)
    assert "our-rose-water" in own and "our-rose-water" not in TABLES
    assert own.version == TABLES.version + "+own" and own.sha256 != TABLES.sha256
    result = check({"our-rose-water": 100}, tables=own)
    assert 4.3 < result.prediction.pH < 4.7
    assert result.to_dict()["counterion"]["tables_sha256"] == own.sha256


def test_faults_of_own_tables_are_told_with_their_place(tmp_path):
    (tmp_path / "levels.csv").write_text("subject,kind,value,unit\nurea,residual-charge,much,meq_per_g\n")
    with pytest.raises(BadInput) as caught:
        TABLES.with_folder(tmp_path)
    (problem,) = caught.value.problems
    assert (problem.place.line, problem.place.column) == (2, 3)
    assert problem.place.file.endswith("levels.csv")


def test_all_that_is_known_of_an_ingredient_has_its_source():
    facts = TABLES.about("niacinamide")
    rows = [row for table in ("composition", "constants", "ranges", "levels", "cautions", "changes")
            for row in facts[table]]
    assert rows and all(row["row_id"] and row["source"] in facts["sources"] for row in rows)
    with pytest.raises(UnknownIngredient):
        TABLES.about("unobtainium")
    with pytest.raises(BadInput):
        TABLES.about("EDTA")


def test_the_hash_is_that_of_the_files():
    digest = hashlib.sha256()
    for table in sorted(TABLES.row_counts):
        digest.update(f"{table}\n".encode() + (SOURCE / "reference-tables" / f"{table}.csv").read_bytes())
    assert TABLES.sha256 == digest.hexdigest()
