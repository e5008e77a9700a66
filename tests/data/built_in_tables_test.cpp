// SPDX-License-Identifier: MIT
#include <counterion/tables/tables.hpp>

#include <doctest/doctest.h>

#include <set>

using counterion::Tables;

TEST_CASE("the tables that are compiled in load, and load once") {
  const auto& tables = Tables::built_in();
  CHECK(&tables == &Tables::built_in());
  CHECK(tables.sha256().size() == 64);
  CHECK(tables.schema_version() == "1.0");
  for (const auto& [name, count] : tables.row_counts()) {
    MESSAGE(name << " " << count);
    CHECK(count > 0);
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
      ids.insert(range.provenance.row_id);
      CHECK(range.provenance.row_id.starts_with("ranges/" + ingredient.id + "/"));
      ++rows;
    }
  }
  CHECK(ids.size() == rows);
}
