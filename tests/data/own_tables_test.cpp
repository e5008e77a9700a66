// SPDX-License-Identifier: MIT
// A user's own tables laid over others.
#include "small_tables.hpp"

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <random>

using namespace counterion;
using test::SmallTables;
using test::tells;

namespace {

using Texts = std::vector<std::pair<std::string, std::string>>;

Tables over(const Tables& beneath, const Texts& own) {
  std::vector<Tables::NamedText> texts;
  for (const auto& [name, text] : own) texts.push_back({name, "own/" + name + ".csv", text});
  return beneath.with_texts(texts);
}

std::vector<Problem> problems_of(const Texts& own) {
  try {
    over(SmallTables().load(), own);
  } catch (const BadInput& error) {
    return error.problems();
  }
  return {};
}

/// A new folder that goes when the test ends.
class Folder {
 public:
  Folder()
      : path_(std::filesystem::temp_directory_path() /
              ("counterion-own-tables-" + std::to_string(std::random_device()()))) {
    std::filesystem::remove_all(path_);
    std::filesystem::create_directories(path_);
  }
  ~Folder() { std::filesystem::remove_all(path_); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;

  void write(const std::string& name, const std::string& text) const {
    std::ofstream(path_ / name, std::ios::binary) << text;
  }
  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

}  // namespace

TEST_CASE("a shop's own material comes in with the fewest columns") {
  const auto tables =
      over(SmallTables().load(),
           {{"ingredients", "id,inci\nrose-water,Rosa Flower Water\n"},
            {"composition", "ingredient,component,mass_fraction\nrose-water,water,1\n"},
            {"ranges",
             "subject,kind,minimum,maximum,at_percent\nrose-water,as-supplied,5.1,5.3,100\n"}});
  const auto* rose = tables.find("rosa flower water");
  REQUIRE(rose != nullptr);
  CHECK(rose->id == "rose-water");
  CHECK(rose->provenance.source == "own");
  CHECK(rose->provenance.reliability == tables::Reliability::own);
  REQUIRE(tables.ranges_of("rose-water").size() == 1);
  CHECK(tables.ranges_of("rose-water")[0].rank == 1);
  CHECK(tables.ranges_of("rose-water")[0].provenance.row_id == "ranges/rose-water/as-supplied/own");
  CHECK(tables.find("glycerol")->id == "glycerin");
}

TEST_CASE("an own row replaces all rows of its subject and kind, and no other") {
  const auto beneath = SmallTables().load();
  const auto tables =
      over(beneath, {{"ranges", "subject,kind,minimum,maximum\nniacinamide,stability,4,6\n"}});
  REQUIRE(tables.ranges_of("niacinamide").size() == 1);
  CHECK(tables.ranges_of("niacinamide")[0].minimum == 4.0);
  CHECK(beneath.ranges_of("niacinamide").size() == 2);
  CHECK(tables.ranges_of("product:any").size() == 1);
}

TEST_CASE("an own composition replaces the whole of it") {
  const auto tables =
      over(SmallTables().load(), {{"composition",
                                   "ingredient,component,mass_fraction,uncertainty\n"
                                   "citric-acid-monohydrate,citric-acid,0.905,0.001\n"
                                   "citric-acid-monohydrate,water,0.095,0.001\n"}});
  REQUIRE(tables.composition_of("citric-acid-monohydrate").size() == 2);
  CHECK(tables.composition_of("citric-acid-monohydrate")[0].mass_fraction == 0.905);
}

TEST_CASE("a withdrawn row takes its fact away") {
  const auto tables =
      over(SmallTables().load(),
           {{"ranges", "subject,kind,source\nniacinamide,stability,withdrawn\n"},
            {"cautions", "id,a,severity,what_happens,what_to_do,source\nC001,,,,,withdrawn\n"},
            {"names", "name,ingredient,source\nE330,,withdrawn\n"}});
  CHECK(tables.ranges_of("niacinamide").empty());
  CHECK(tables.cautions().empty());
  CHECK(tables.find("E330") == nullptr);
}

TEST_CASE("a withdrawn ingredient takes along what the tables beneath say of it") {
  const auto tables =
      over(SmallTables().load(), {{"ingredients", "id,inci,source\nniacinamide,,withdrawn\n"}});
  CHECK(tables.find("niacinamide") == nullptr);
  CHECK(tables.find("vitamin B3") == nullptr);
  CHECK(tables.ranges_of("niacinamide").empty());
}

TEST_CASE("an own name goes before the name beneath") {
  const auto tables =
      over(SmallTables().load(), {{"names", "name,ingredient\nlactic acid,lactic-acid-90\n"}});
  CHECK(tables.find("lactic acid")->id == "lactic-acid-90");
}

TEST_CASE("own tables may lie over own tables, and live on without them") {
  std::optional<Tables> tables;
  {
    const auto shop =
        over(SmallTables().load(), {{"names", "name,ingredient\nsweet drops,glycerin\n"}});
    tables = over(shop, {{"names", "name,ingredient\nsour salt,citric-acid\n"}});
  }
  CHECK(tables->find("sweet drops")->inci == "Glycerin");
  CHECK(tables->find("sour salt")->inci == "Citric Acid");
}

TEST_CASE("version and hash tell own tables from others") {
  const auto beneath = SmallTables().load();
  const auto one = over(beneath, {{"names", "name,ingredient\nsweet drops,glycerin\n"}});
  const auto other = over(beneath, {{"names", "name,ingredient\nsweet dropz,glycerin\n"}});
  CHECK(one.version() == std::string(beneath.version()) + "+own");
  CHECK(one.sha256() != beneath.sha256());
  CHECK(one.sha256() != other.sha256());
  CHECK(one.sha256() ==
        over(beneath, {{"names", "name,ingredient\nsweet drops,glycerin\n"}}).sha256());
}

TEST_CASE("faults of own tables are told with file, line and column, all at once") {
  const auto problems =
      problems_of({{"names", "name,ingredient\nmoon water,\n"},
                   {"levels", "subject,kind,value,unit\nglycerin,residual-charge,some,meq_per_g\n"},
                   {"ranges", "subject,kind,minimum,top\nurea,stability,3,5\n"}});
  CHECK(tells(problems, "own/names.csv", 2, 2, "an empty cell"));
  CHECK(tells(problems, "own/levels.csv", 2, 3, "'some' in value; expected a number"));
  CHECK(tells(problems, "own/ranges.csv", 1, 4,
              "unknown column 'top'; expected a column of the table ranges: subject, kind"));
}

TEST_CASE("own rows must fit to the tables beneath") {
  auto problems = problems_of({{"names", "name,ingredient\nmoon water,moon-water\n"}});
  CHECK(tells(problems, "own/names.csv", 2, 2,
              "'moon-water'; expected an id of the table ingredients"));
  problems =
      problems_of({{"composition", "ingredient,component,mass_fraction\nglycerin,inert,0.5\n"}});
  CHECK(tells(problems, "own/composition.csv", 2, 3, "add up to 0.5"));
  problems = problems_of({{"ranges", "subject,kind,minimum,maximum\nglycerin,stability,7,4\n"}});
  CHECK(tells(problems, "own/ranges.csv", 2, 4, "maximum 4; expected no less than minimum, 7"));
  problems = problems_of({{"substances", "id,source\nsodium,withdrawn\n"}});
  CHECK_FALSE(problems.empty());
}

TEST_CASE("a folder of own tables is read, other files in it are left alone") {
  const Folder folder;
  folder.write("names.csv", "name,ingredient\nsweet drops,glycerin\n");
  folder.write("notes.txt", "not a table");
  const auto tables = SmallTables().load().with_folder(folder.path());
  CHECK(tables.find("sweet drops")->id == "glycerin");
}

TEST_CASE("a folder that will not do says why") {
  const auto tables = SmallTables().load();
  const Folder folder;
  CHECK_THROWS_WITH_AS(tables.with_folder(folder.path() / "none"),
                       doctest::Contains("there is no such folder"), BadInput);
  CHECK_THROWS_WITH_AS(tables.with_folder(folder.path()), doctest::Contains("no table"), BadInput);
  folder.write("recipes.csv", "a\n1\n");
  CHECK_THROWS_WITH_AS(tables.with_folder(folder.path()),
                       doctest::Contains("no table is called 'recipes'"), BadInput);
  folder.write("datapackage.json", R"({"schema_version": "2.0"})");
  CHECK_THROWS_WITH_AS(tables.with_folder(folder.path()), doctest::Contains("schema_version 2.0"),
                       BadInput);
}

TEST_CASE("a titration outside what can be read is told") {
  const auto problems = problems_of({{"titrations",
                                      "ingredient,at_percent,added_meq_per_g,pH\n"
                                      "glycerin,1,0.1,17\nglycerin,0,0.1,7\nglycerin,1,1000,7\n"}});
  CHECK(tells(problems, "own/titrations.csv", 2, 4, "pH 17; expected 0 to 14"));
  CHECK(tells(problems, "own/titrations.csv", 3, 2, "at_percent 0"));
  CHECK(tells(problems, "own/titrations.csv", 4, 3, "added_meq_per_g 1000"));
}

TEST_CASE(
    "a lot that is like another material has its classes, composition and ranges unless it says "
    "others") {
  const auto tables =
      over(SmallTables().load(),
           {{"ingredients", "id,inci,like\nlactic-lot-7,Lactic Acid,lactic-acid-80\n"},
            {"ranges",
             "subject,kind,minimum,maximum,at_percent\nlactic-lot-7,as-supplied,1.9,2.1,10\n"}});
  CHECK(tables.covers("alpha-hydroxy-acid", "lactic-lot-7"));
  CHECK(tables.composition_of("lactic-lot-7").size() == 2);
  CHECK(tables.ranges_of("lactic-lot-7").size() == 1);
  const auto problems =
      problems_of({{"ingredients", "id,inci,like\nlot-7,Lot,lactic-acid-8\n"},
                   {"composition", "ingredient,component,mass_fraction\nlot-7,inert,1\n"}});
  CHECK(tells(problems, "own/ingredients.csv", 2, 3,
              "'lactic-acid-8'; expected the id of another ingredient"));
}

TEST_CASE("own tables may come from a spreadsheet that writes semicolons and decimal commas") {
  const auto tables = over(
      SmallTables().load(),
      {{"ranges", "subject; kind; minimum; maximum\nniacinamide; stability; 4,5; 6,5\n;;;\n"}});
  REQUIRE(tables.ranges_of("niacinamide").size() == 1);
  CHECK(tables.ranges_of("niacinamide")[0].minimum == 4.5);
}

TEST_CASE("withdrawing what is not there is told") {
  const auto problems =
      problems_of({{"ranges", "subject,kind,source\nniacinamid,stability,withdrawn\n"},
                   {"levels", "subject,kind,source\nsodium-benzoate,legal-maximum,withdrawn\n"}});
  CHECK(tells(problems, "own/ranges.csv", 2, 0, "nothing that could be withdrawn"));
  CHECK(tells(problems, "own/levels.csv", 2, 0,
              "nothing that could be withdrawn"));  // its market is EU
}

TEST_CASE("every table's rows can be withdrawn by their keys alone") {
  const auto tables =
      over(SmallTables().load(),
           {{"levels", "subject,kind,market,source\nsodium-benzoate,legal-maximum,EU,withdrawn\n"},
            {"mishaps", "id,source\nleft-out,withdrawn\n"},
            {"changes", "id,source\nK001,withdrawn\n"},
            {"cautions", "id,source\nC001,withdrawn\n"}});
  CHECK(tables.levels_of("sodium-benzoate").empty());
  CHECK(tables.mishaps().empty());
  CHECK(tables.changes_of("niacinamide").empty());
}

TEST_CASE("any ingredient but water can be withdrawn") {
  const auto& beneath = Tables::built_in();
  std::size_t i = 0;
  for (const auto& ingredient : beneath.ingredients()) {
    if (i++ % 25 != 0 && ingredient.id != "acetic-acid" && ingredient.id != "ascorbic-acid")
      continue;
    CAPTURE(ingredient.id);
    const auto without = over(
        beneath, {{"ingredients", "id,source\n" + std::string(ingredient.id) + ",withdrawn\n"}});
    CHECK(without.ingredient(ingredient.id) == nullptr);
  }
  CHECK_THROWS_WITH_AS(over(beneath, {{"ingredients", "id,source\nwater,withdrawn\n"}}),
                       doctest::Contains("water withdrawn"), BadInput);
}

TEST_CASE("a limit of one market leaves those of the others alone") {
  const auto tables =
      over(SmallTables().load(),
           {{"levels",
             "subject,kind,value,unit,market\nsodium-benzoate,legal-maximum,0.1,percent,US\n"}});
  CHECK(tables.levels_of("sodium-benzoate").size() == 2);
}
