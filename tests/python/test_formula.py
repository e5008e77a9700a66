# SPDX-License-Identifier: MIT
"""A formula is the same from whatever form it comes in."""

import json
import os

import pytest

from counterion import Formula

WHOLE = {
    "name": "night gel",
    "batch_g": 250,
    "type": "face",
    "use": "leave-on",
    "items": [
        {"ingredient": "Urea", "percent": 5, "phase": "A"},
        {"ingredient": "Glycerin", "percent": 3.5, "note": "vegetable"},
        {"ingredient": "Water", "to_100": True},
    ],
}
PAIRS = [("Urea", 5), ("Glycerin", 3.5), ("Water", "q.s.")]
SHEET = "ingredient,percent\nUrea,5\nGlycerin,3.5\nWater,q.s.\n"


def forms(folder):
    """The same three lines in every form that is taken."""
    sheet = folder / "gel.csv"
    sheet.write_text(SHEET, encoding="utf-8")
    return [
        Formula(PAIRS),
        Formula(tuple(PAIRS)),
        Formula(iter(PAIRS)),
        Formula(dict(PAIRS)),
        Formula([{"ingredient": name, "percent": amount} for name, amount in PAIRS]),
        Formula({"items": PAIRS}),
        Formula({"items": dict(PAIRS)}),
        Formula(sheet),
        Formula(os.fspath(sheet)),
        Formula.from_text(SHEET),
        Formula.from_text(json.dumps(Formula(PAIRS).to_dict())),
        Formula(Formula(PAIRS)),
        Formula(Formula(PAIRS).to_dict()),
    ]


def test_every_form_gives_the_same(tmp_path):
    all_forms = forms(tmp_path)
    assert all(formula == all_forms[0] for formula in all_forms)
    assert [item.ingredient for item in all_forms[0].items] == ["urea", "glycerin", "water"]
    assert [item.percent for item in all_forms[0].items] == pytest.approx([5, 3.5, 91.5])


def test_a_whole_formula_keeps_what_was_said(tmp_path):
    formula = Formula(WHOLE)
    assert (formula.name, formula.type, formula.use, formula.batch_g) == ("night gel", "face", "leave-on", 250)
    assert formula.batch_stated and formula.total_percent == pytest.approx(100)
    assert formula.items[0].phase == "A" and formula.items[1].note == "vegetable"
    assert formula.items[2].fills_to_100
    path = tmp_path / "gel.json"
    path.write_text(json.dumps(WHOLE), encoding="utf-8")
    assert Formula(path) == formula != Formula(PAIRS)


def test_a_line_may_declare_its_own_pH_and_then_needs_no_table():
    line = {"ingredient": "Our plant extract", "percent": 2, "declared_pH": (4.0, 5.0), "declared_at_percent": 10}
    formula = Formula([line, ("Water", "q.s.")])
    assert formula.items[0].ingredient is None
    assert formula.items[0].declared_pH == (4.0, 5.0)
    assert Formula(formula.to_dict()) == formula


def test_a_material_in_no_table_is_taken_on_request():
    formula = Formula({"Unobtainium dust": 1, "Water": "q.s."}, allow_unlisted=True)
    assert formula.items[0].ingredient is None
    assert formula.diagnostics and "Unobtainium dust" in " ".join(map(str, formula.diagnostics))


def test_grams_and_numbers_of_other_kinds_are_taken():
    from decimal import Decimal
    from fractions import Fraction

    formula = Formula([{"ingredient": "Urea", "grams": Decimal("5")}, {"ingredient": "Water", "grams": Fraction(95)}])
    assert [item.percent for item in formula.items] == pytest.approx([5, 95])


def test_items_outlive_the_formula():
    items = Formula(PAIRS).items
    assert [item.written for item in items] == ["Urea", "Glycerin", "Water"]
    assert repr(items[0]) == "<FormulaItem 'Urea', 5 %>"


def test_formulas_cannot_be_hashed():
    with pytest.raises(TypeError):
        hash(Formula(PAIRS))
