// SPDX-License-Identifier: MIT
#include "small_tables.hpp"

#include <doctest/doctest.h>

using namespace counterion;

namespace {

std::string found(const Tables& tables, std::string_view name) {
  const auto* ingredient = tables.find(name);
  return std::string(ingredient == nullptr ? std::string_view() : ingredient->id);
}

using Names = std::vector<std::string>;

}  // namespace

TEST_CASE("an ingredient is found by id, INCI name, other name and CAS number, however written") {
  const auto tables = test::SmallTables().load();
  CHECK(found(tables, "xanthan-gum") == "xanthan-gum");
  CHECK(found(tables, "XANTHAN  GUM") == "xanthan-gum");
  CHECK(found(tables, "xanthangum") == "xanthan-gum");
  CHECK(found(tables, "Vitamin-B3") == "niacinamide");
  CHECK(found(tables, "98-92-0") == "niacinamide");
  CHECK(found(tables, "98920") == "niacinamide");
  CHECK(found(tables, "e 330") == "citric-acid");
}

TEST_CASE("a name that nobody has finds nothing, and neither does an empty one") {
  const auto tables = test::SmallTables().load();
  CHECK(found(tables, "moon dust").empty());
  CHECK(found(tables, "").empty());
  CHECK(found(tables, "%").empty());
  CHECK(found(tables, std::string(100000, 'a')).empty());
}

TEST_CASE("an INCI name or CAS number that several share means the one with the plain name") {
  const auto tables = test::SmallTables().load();
  CHECK(found(tables, "Lactic Acid") == "lactic-acid-80");
  CHECK(found(tables, "50-21-5") == "lactic-acid-80");
  CHECK(found(tables, "Citric acid") == "citric-acid");
  CHECK(found(tables, "5949-29-1") == "citric-acid-monohydrate");
}

TEST_CASE("a strength behind, before or within the name is understood") {
  const auto tables = test::SmallTables().load();
  for (const auto* name :
       {"Lactic acid 80 %", "Lactic acid 80", "Lactic acid (80%)", "80% lactic acid",
        "Lactic acid, 80 % solution", "lactic acid 80 % in water"}) {
    CAPTURE(name);
    CHECK(found(tables, name) == "lactic-acid-80");
  }
  CHECK(found(tables, "Lactic acid 90,0 %") == "lactic-acid-90");
}

TEST_CASE("a strength that is not sold is not found, and those that are get suggested") {
  const auto tables = test::SmallTables().load();
  CHECK(found(tables, "Lactic acid 70 %").empty());
  CHECK(tables.nearest_names("Lactic acid 70 %", 2) == Names{"Lactic acid 80 %", "Lactic acid 90 %"});
  CHECK(found(tables, "glycerin 50 %").empty());
}

TEST_CASE("pure means the material itself, never a solution of it") {
  const auto tables = test::SmallTables().load();
  CHECK(found(tables, "Citric acid 100 %") == "citric-acid");
  CHECK(found(tables, "Citric acid monohydrate 100 %") == "citric-acid-monohydrate");
  CHECK(found(tables, "Lactic acid 100 %").empty());
  CHECK(found(tables, "Polysorbate 20, 100 %") == "polysorbate-20");
}

TEST_CASE("several names of one thing are one thing") {
  const auto tables = test::SmallTables().load();
  CHECK(found(tables, "Aqua (Water)") == "water");
  CHECK(found(tables, "Aqua/Eau") == "water");
  CHECK(found(tables, "Glycerin (vegetable)") == "glycerin");
  CHECK(found(tables, "Citric acid (77-92-9)") == "citric-acid");
  CHECK(found(tables, "Glycerin (Water)").empty());
  CHECK(found(tables, "Citric acid (sodium salt)").empty());
}

TEST_CASE("slips of the pen are answered with the nearest names, best first") {
  const auto tables = test::SmallTables().load();
  CHECK(tables.nearest_names("glicerin", 1) == Names{"Glycerin"});
  CHECK(tables.nearest_names("Citic acid", 1) == Names{"Citric Acid (anhydrous)"});
  CHECK(tables.nearest_names("xantan gum", 1) == Names{"Xanthan Gum"});
  CHECK(tables.nearest_names("sodium", 3) == Names{"Sodium Benzoate"});
  CHECK(tables.nearest_names("qqqqqqqqq").empty());
}

TEST_CASE("every suggestion can be typed as it stands") {
  const auto tables = test::SmallTables().load();
  for (const auto* name :
       {"glicerin", "Citic acid", "lactic", "benzoate", "vitamin B2", "E331", "wassr"}) {
    const auto nearest = tables.nearest_names(name);
    CAPTURE(name);
    CHECK_FALSE(nearest.empty());
    for (const auto& suggestion : nearest) {
      CAPTURE(suggestion);
      CHECK(tables.find(suggestion) != nullptr);
    }
  }
}

TEST_CASE("an ingredient is shown by its INCI name, or its id where the INCI name is shared") {
  const auto tables = test::SmallTables().load();
  CHECK(tables.display_name("water") == "Aqua");
  CHECK(tables.display_name("lactic-acid-90") == "Lactic acid 90 %");
  CHECK(tables.display_name("not-there") == "not-there");
}

TEST_CASE("what a name may mean is told, the usual meaning first") {
  const auto tables = test::SmallTables()
                          .with("names", "sour salt,citric-acid-monohydrate,2,habit")
                          .with("names", "sour salt,citric-acid,1,habit")
                          .load();
  const auto meanings = [&](std::string_view name) {
    Names ids;
    for (const auto* ingredient : tables.meanings(name)) ids.emplace_back(ingredient->id);
    return ids;
  };
  CHECK(meanings("sour salt") == Names{"citric-acid", "citric-acid-monohydrate"});
  CHECK(meanings("Citric Acid") == Names{"citric-acid", "citric-acid-monohydrate"});
  CHECK(meanings("citric-acid") == Names{"citric-acid"});
  CHECK(meanings("Lactic acid") == Names{"lactic-acid-80", "lactic-acid-90"});
  CHECK(meanings("Lactic acid (50-21-5)") == Names{"lactic-acid-80", "lactic-acid-90"});
  CHECK(meanings("moon dust").empty());
}

TEST_CASE("a name that may mean several is shown as one that means it alone") {
  const auto tables = test::SmallTables().load();
  CHECK(tables.display_name("citric-acid") == "Citric Acid (anhydrous)");
  CHECK(tables.display_name("citric-acid-monohydrate") == "Citric acid monohydrate");
  for (const auto& ingredient : tables.ingredients()) {
    CAPTURE(ingredient.id);
    CHECK(tables.meanings(tables.display_name(ingredient.id)).size() == 1);
  }
}

TEST_CASE("waters of a crystal are understood in formulas and languages") {
  const auto tables = test::SmallTables().load();
  for (const auto* name : {"citric acid monohydrate", "Citric Acid, Monohydrate", "citric acid monohydrat",
                           "citric acid\xC2\xB7H\xE2\x82\x82O", "citric acid x H2O", "citric acid 1 H2O",
                           "citric acid monohydrat\xC3\xA9", "citric acid monohidrato"}) {
    CAPTURE(name);
    CHECK(found(tables, name) == "citric-acid-monohydrate");
  }
  for (const auto* name : {"Citric acid, anhydrous", "citric acid (anhydrous)", "citric acid wasserfrei",
                           "anhydrous citric acid", "citric acid anhydre", "citric acid anidro"}) {
    CAPTURE(name);
    CHECK(found(tables, name) == "citric-acid");
    CHECK(tables.meanings(name).size() == 1);
  }
  CHECK(found(tables, "H2O").empty());
}

TEST_CASE("a decimal strength is not read as ten times more") {
  const auto& tables = Tables::built_in();
  for (const auto& ingredient : tables.ingredients()) {
    const auto dash = ingredient.id.rfind('-');
    const auto digits = dash == ingredient.id.npos ? "" : ingredient.id.substr(dash + 1);
    if (digits.size() != 2 || digits.find_first_not_of("0123456789") != digits.npos) continue;
    for (const char* mark : {".", ","}) {
      const std::string base(ingredient.inci), one(1, digits[0]), two(1, digits[1]);
      for (const auto& name : {base + " " + one + mark + two + " %", base + " " + one + mark + two,
                               base + " (" + one + mark + two + "%)"}) {
        CAPTURE(name);
        for (const auto* meant : tables.meanings(name)) CHECK(meant->id != ingredient.id);
      }
    }
  }
  CHECK(found(tables, "ammonia 25.0 %") == "ammonia-25");
  CHECK(found(tables, "ammonia 2,5 %").empty());
}

TEST_CASE("a strength finds the grade in any language that knows the bare name") {
  const auto& tables = Tables::built_in();
  for (const auto* name : {"Milchs\xC3\xA4ure 80%ig", "80%ige Milchs\xC3\xA4ure", "acide lactique \xC3\xA0 80 %",
                           "\xC3\xA1" "cido l\xC3\xA1" "ctico al 80 %", "Milchs\xC3\xA4ure-L\xC3\xB6sung 80 %"}) {
    CAPTURE(name);
    CHECK(found(tables, name) == "lactic-acid-80");
  }
}

TEST_CASE("where the table lists what a name may mean, nothing else joins in") {
  const auto tables = test::SmallTables()
                          .with("names", "citric acid,citric-acid,1,habit")
                          .with("names", "citric acid,niacinamide,2,habit")
                          .load();
  const auto meant = tables.meanings("Citric Acid");
  REQUIRE(meant.size() == 2);
  CHECK(meant[1]->id == "niacinamide");
}
