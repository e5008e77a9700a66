// SPDX-License-Identifier: MIT
#include "formula_reading.hpp"

#include <doctest/doctest.h>

using namespace counterion;
using test::formula_path;
using test::percent_of;
using test::says;

namespace {

Formula read_saved(const std::string& name, bool allow_unlisted = false) {
  return read_formula_file(formula_path(name), Tables::built_in(), {allow_unlisted});
}

void check_same_items(const Formula& a, const Formula& b) {
  REQUIRE(a.items.size() == b.items.size());
  for (std::size_t i = 0; i < a.items.size(); ++i) {
    CHECK(a.items[i].written == b.items[i].written);
    CHECK(a.items[i].ingredient == b.items[i].ingredient);
    CHECK(a.items[i].percent == doctest::Approx(b.items[i].percent).epsilon(1e-12));
    CHECK(a.items[i].fills_to_100 == b.items[i].fills_to_100);
    CHECK(a.items[i].phase == b.items[i].phase);
    CHECK(a.items[i].note == b.items[i].note);
  }
}

}  // namespace

TEST_CASE("a sheet saved by a spreadsheet program reads as it was typed") {
  const auto formula = read_saved("gel-comma.csv");
  CHECK(formula.name == "Face gel No 3, cr\xC3\xA8me");
  CHECK(formula.batch_g == 500);
  CHECK(formula.batch_stated);
  CHECK(formula.use == "leave-on");
  CHECK(formula.product_type == "face");
  CHECK(formula.total_percent == 100);
  CHECK(formula.diagnostics.empty());
  REQUIRE(formula.items.size() == 9);
  CHECK(formula.items[0].fills_to_100);
  CHECK(formula.items[0].percent == doctest::Approx(90.6));
  CHECK(formula.items[3].note == "in the glycerin first; \"no lumps\"");
  CHECK(formula.items[8].ingredient == "lactic-acid-80");
  CHECK(formula.items[8].phase == "D");
  CHECK(formula.items[8].place.line == 15);
  CHECK(formula.items[8].place.column == 2);
}

TEST_CASE("every dialect of the same sheet reads to the same items") {
  const auto typed = read_saved("gel-comma.csv");
  for (const auto* name : {"gel-semicolon.csv", "gel-tab.csv", "gel-quoted.csv",
                           "gel-windows-1252.csv", "gel-bom.csv", "gel-crlf.csv", "gel-utf16.csv",
                           "gel-german.csv", "gel-german-comma.csv", "gel-german-1252.csv"}) {
    CAPTURE(name);
    check_same_items(typed, read_saved(name));
  }
}

TEST_CASE("Windows-1252 is read and said") {
  const auto formula = read_saved("gel-german-1252.csv");
  CHECK(formula.name == "Gesichtsgel N\xC2\xBA 3, k\xC3\xBChl");
  CHECK(says(formula, "Windows-1252"));
}

TEST_CASE("percent cells, phase headings, INCI beside trade names, strength and declared pH") {
  const auto formula = read_saved("wash.csv");
  REQUIRE(formula.items.size() == 7);
  CHECK(formula.total_percent == doctest::Approx(100));
  CHECK(formula.items[1].ingredient == "cocamidopropyl-betaine-30");
  CHECK(formula.items[1].phase == "Phase A");
  CHECK(formula.items[1].strength_percent == 30.0);
  CHECK(formula.items[1].declared_ph_low == 5.0);
  CHECK(formula.items[1].declared_at_percent == 10.0);  // from the head, pH (10 %)
  CHECK(formula.items[2].declared_ph_low == 11.5);
  CHECK(formula.items[2].declared_ph_high == 12.5);
  CHECK(formula.items[5].written == "Citric acid");
  CHECK(formula.items[5].phase == "Phase B");
}

TEST_CASE("a material in no table is taken when its line declares a pH") {
  const auto formula = read_saved("wash.csv");
  const auto& hydrolate = formula.items[6];
  CHECK_FALSE(hydrolate.listed());
  CHECK(hydrolate.declared_ph_low == 5.2);
  CHECK(hydrolate.declared_ph_high == 5.2);
  CHECK(hydrolate.declared_at_percent == 100.0);
  CHECK(says(formula, "is in no table"));
}

TEST_CASE("German grams with grouped thousands stand beside percent") {
  const auto formula = read_saved("cream-german.csv");
  CHECK(formula.batch_g == doctest::Approx(2000));
  CHECK(formula.total_percent == doctest::Approx(100));
  CHECK(percent_of(formula, "water") == doctest::Approx(67.8));
  CHECK(percent_of(formula, "sodium-lactate-60") == doctest::Approx(0.2));
  CHECK(formula.diagnostics.empty());
}
