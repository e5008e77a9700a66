// SPDX-License-Identifier: MIT
#include <counterion/tables/tables.hpp>

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <set>

using counterion::Tables;

TEST_CASE("the tables that are compiled in load, and load once") {
  const auto& tables = Tables::built_in();
  CHECK(&tables == &Tables::built_in());
  CHECK(tables.sha256().size() == 64);
  CHECK(tables.schema_version() == "1.1");
  for (const auto& [name, count] : tables.row_counts()) {
    MESSAGE(name << " " << count);
    CHECK((count > 0 || name == "titrations"));  // nobody has published one that we know of
  }
}

TEST_CASE("quotes, semicolons, brackets and letters beyond ASCII survive being compiled in") {
  const auto& tables = Tables::built_in();
  std::set<char> seen;
  for (const auto& caution : tables.cautions()) {
    seen.insert(caution.what_happens.begin(), caution.what_happens.end());
  }
  CHECK(seen.contains(' '));
  REQUIRE(tables.find("Zitronens\xC3\xA4ure") != nullptr);
  CHECK(tables.find("Zitronens\xC3\xA4ure")->id == "citric-acid");
}

TEST_CASE("every ingredient is found by its id and by the name that is shown for it") {
  const auto& tables = Tables::built_in();
  for (const auto& ingredient : tables.ingredients()) {
    CAPTURE(ingredient.id);
    CHECK(tables.find(ingredient.id) == &ingredient);
    CHECK(tables.find(tables.display_name(ingredient.id)) == &ingredient);
  }
}

TEST_CASE("row ids are unique within a subject and begin with the table") {
  const auto& tables = Tables::built_in();
  std::set<std::string> ids;
  std::size_t rows = 0;
  for (const auto& ingredient : tables.ingredients()) {
    for (const auto& range : tables.ranges_of(ingredient.id)) {
      ids.emplace(range.provenance.row_id);
      CHECK(range.provenance.row_id.starts_with(fmt::format("ranges/{}/", ingredient.id)));
      ++rows;
    }
  }
  CHECK(ids.size() == rows);
}

// J. Res. Natl. Bur. Stand. 71A(5), 379-384 (1967), Table 1: pK of five benzoic acids at
// 0, 12.2, 25.2 and 44.1 weight percent ethanol. The row was fitted to the first; the others stand
// apart.
TEST_CASE("the ethanol shift of benzoic acid is that of its printed pK and fits its relatives") {
  const auto& tables = Tables::built_in();
  const auto* a = tables.constant("ethanol", "solvent-shift", "benzoic-acid", 1);
  const auto* b = tables.constant("ethanol", "solvent-shift", "benzoic-acid", 2);
  REQUIRE(a != nullptr);
  REQUIRE(b != nullptr);
  const std::array w{0.122, 0.252, 0.441};
  const std::array<std::array<double, 4>, 5> printed{{{4.210, 4.444, 4.918, 5.692},
                                                      {4.266, 4.514, 5.035, 5.808},
                                                      {4.326, 4.563, 5.061, 5.811},
                                                      {4.248, 4.485, 4.972, 5.763},
                                                      {4.487, 4.785, 5.154, 5.854}}};
  for (std::size_t acid = 0; acid < printed.size(); ++acid) {
    for (std::size_t i = 0; i < w.size(); ++i) {
      const double shift = a->value * w[i] + b->value * w[i] * w[i];
      const double off = shift - (printed[acid][i + 1] - printed[acid][0]);
      CHECK(std::abs(off) < (acid == 0 ? 0.04 : 0.13));
    }
  }
}

TEST_CASE("an ingredient with oil is of one kind of oil at most, and only such ones are") {
  const auto& tables = Tables::built_in();
  std::size_t known = 0;
  for (const auto& ingredient : tables.ingredients()) {
    CAPTURE(ingredient.id);
    bool has_oil = false;
    for (const auto& part : tables.composition_of(ingredient.id))
      has_oil = has_oil || part.component == "oil";
    int kinds = 0;
    for (const auto* kind : {"vegetable-oil", "mineral-oil", "ester-oil"})
      kinds += tables.covers(kind, ingredient.id) ? 1 : 0;
    CHECK(kinds <= (has_oil ? 1 : 0));
    known += kinds;
  }
  CHECK(known > 0);
}

TEST_CASE("every ethoxylated nonionic binds by one of the two kinds of micelle") {
  const auto& tables = Tables::built_in();
  for (const auto& ingredient : tables.ingredients()) {
    CAPTURE(ingredient.id);
    const int kinds = (tables.covers("polysorbate", ingredient.id) ? 1 : 0) +
                      (tables.covers("nonionic-ethoxylate", ingredient.id) ? 1 : 0);
    CHECK(kinds == (tables.covers("ethoxylated-nonionic", ingredient.id) ? 1 : 0));
  }
}

TEST_CASE("what partitions somewhere has a figure for an unknown oil, between the known ones") {
  const auto& tables = Tables::built_in();
  for (const auto& ingredient : tables.ingredients()) {
    for (const auto& part : tables.composition_of(ingredient.id)) {
      CAPTURE(part.component);
      const auto* unknown = tables.constant(part.component, "oil-water-partition", "unknown-oil");
      for (const auto* oil : {"vegetable-oil", "mineral-oil"}) {
        const auto* row = tables.constant(part.component, "oil-water-partition", oil);
        if (row == nullptr) continue;
        REQUIRE(unknown != nullptr);
        CHECK(std::abs(std::log10(unknown->value / row->value)) < unknown->uncertainty + 0.02);
      }
    }
  }
}
