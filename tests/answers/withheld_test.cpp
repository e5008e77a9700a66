// SPDX-License-Identifier: MIT
// No grams over a danger: where the move itself is the hazard or destroys the product, every
// adjuster that could make it is withheld with a reason; a move the other way, or at a level that
// is fine, gets its grams.
#include "samples.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace counterion;

namespace {

/// Every material of the tables that is dosed to move a pH.
std::vector<std::string> all_adjusters() {
  std::vector<std::string> ids;
  const Tables& tables = Tables::built_in();
  for (const auto& ingredient : tables.ingredients())
    for (const auto& row : tables.levels_of(ingredient.id))
      if (row.kind == "adjuster-stock" && row.rank == 1 && row.subject == ingredient.id)
        ids.emplace_back(row.subject);
  return ids;
}

/// A formula ("stearic-acid 3; glycerin 5", what is missing being water) moved to a pH by every
/// adjuster.
class Move {
 public:
  Move(const std::string& formula, double target, const std::string& type = "",
       const std::string& use = "")
      : result_(check(samples::formula_of(samples::items_of(formula), type, use),
                      Tables::built_in(), options(target))) {
    REQUIRE(result_.prediction);
    REQUIRE(result_.adjustments.size() >= 85);
  }
  double starts_at() const { return result_.prediction->ph; }

  /// Who is given grams for it although nobody should be; nobody where the move is withheld. A
  /// stock that would make up more than a quarter of the batch is left aside: it thins the danger
  /// rather than bringing it.
  std::string given() const {
    std::string names;
    for (const auto& a : result_.adjustments)
      if (is_given(a) && a.percent <= 25) names += a.adjuster.ingredient + " ";
    return names;
  }
  /// How many adjusters could make the move.
  std::ptrdiff_t able() const {
    return std::ranges::count_if(result_.adjustments,
                                 [](const Adjustment& a) { return a.possible; });
  }
  bool gives(const std::string& adjuster) const {
    const auto& a = of(adjuster);
    INFO(adjuster << ": " << a.withheld << a.why_not);
    return is_given(a);
  }
  const std::string& reason(const std::string& adjuster) const { return of(adjuster).withheld; }

 private:
  static CheckOptions options(double target) {
    CheckOptions options;
    options.target = pH(target);
    options.adjusters = all_adjusters();
    options.remedies = false;
    return options;
  }
  static bool is_given(const Adjustment& a) {
    return a.possible && a.withheld.empty() && a.grams > 0;
  }
  const Adjustment& of(const std::string& adjuster) const {
    const auto found = std::ranges::find(result_.adjustments, adjuster,
                                         [](const Adjustment& a) { return a.adjuster.ingredient; });
    REQUIRE_MESSAGE(found != result_.adjustments.end(), adjuster);
    return *found;
  }
  CheckResult result_;
};

bool says(const std::string& text, const std::string& words) {
  return text.find(words) != text.npos;
}

}  // namespace

TEST_CASE("a true soap is not acidified") {
  const std::string soap = "potassium-cocoate-40 50; glycerin 5";
  const Move down(soap, 6.0, "hand", "rinse-off");
  CHECK(down.starts_at() > 9);
  CHECK(down.given() == "");
  CHECK(down.able() >= 3);
  CHECK(says(down.reason("citric-acid"), "turns back into fatty acid"));
  CHECK(Move(soap, 8.5, "hand", "rinse-off").given() == "");
  CHECK(Move(soap, 9.5, "hand", "rinse-off").gives("citric-acid"));
  CHECK(Move(soap, 10.6, "hand", "rinse-off").gives("potassium-hydroxide-10"));
}

TEST_CASE("a vanishing cream of fatty acid and alkali is not acidified") {
  const std::string cream =
      "stearic-acid 15; potassium-hydroxide 0.8; glycerin 8; phenoxyethanol 0.9";
  const Move down(cream, 5.5, "face", "leave-on");
  CHECK(down.starts_at() > 7);
  CHECK(down.given() == "");
  CHECK(down.able() >= 3);
  CHECK(says(down.reason("lactic-acid-80"), "soap"));
  CHECK(Move(cream, 9.0, "face", "leave-on").gives("triethanolamine-99"));
}

TEST_CASE("a cream held together by stearate as an ingredient is not acidified") {
  const std::string cream =
      "tea-stearate 4; cetearyl-alcohol 2; caprylic-capric-triglyceride 10; phenoxyethanol 0.9";
  const Move down(cream, 5.5, "face", "leave-on");
  CHECK(down.starts_at() > 7);
  CHECK(down.given() == "");
  CHECK(down.able() >= 3);
  CHECK(Move(cream, 7.2, "face", "leave-on").gives("lactic-acid-80"));
}

// Rows alone cannot tell this cream from one in which stearic acid is a helper beside another
// emulsifier and the alkali belongs to a fruit acid: C071 is a caution. What tells them apart is
// the move: C071 does not hold now, at a pH where the fatty acid is soap, and holds at the target.
TEST_CASE("a lotion of a little stearic acid and triethanolamine is not acidified") {
  const std::string lotion =
      "stearic-acid 3; triethanolamine-99 1.2; liquid-paraffin 10; cetyl-alcohol 1; phenoxyethanol "
      "0.9";
  const Move down(lotion, 5.5, "body", "leave-on");
  CHECK(down.starts_at() > 7);
  CHECK(down.given() == "");
  CHECK(down.able() >= 3);
}

TEST_CASE("a lotion with a fruit acid and stearic acid as a helper gets its grams") {
  const std::string lotion =
      "stearic-acid 2; ceteareth-20 2; lactic-acid-80 5; triethanolamine-99 4; glycerin 3; "
      "phenoxyethanol 0.9";
  const Move up(lotion, 4.2, "body", "leave-on");
  CHECK(up.starts_at() < 4.2);
  CHECK(up.gives("sodium-hydroxide"));
  CHECK(Move(lotion, 3.6, "body", "leave-on").gives("lactic-acid-80"));
}

TEST_CASE("a cream whose alkali belongs to its gel gets its grams") {
  const std::string cream =
      "stearic-acid 2; ceteareth-20 2; carbomer 0.3; triethanolamine-99 0.3; phenoxyethanol 0.9";
  CHECK(Move(cream, 5.5, "face", "leave-on").gives("citric-acid"));
}

TEST_CASE("a cold cream of beeswax and borax is not acidified") {
  const std::string cream = "beeswax 12; liquid-paraffin 45; borax-decahydrate 0.8";
  const Move down(cream, 6.0, "face", "leave-on");
  CHECK(down.starts_at() > 7);
  CHECK(down.given() == "");
  CHECK(down.able() >= 3);
  CHECK(says(down.reason("citric-acid"), "cold cream"));
  CHECK(Move(cream, 9.4, "face", "leave-on").gives("sodium-hydroxide"));
}

TEST_CASE("sulfite is not moved into strong acid, where its dose matters") {
  const std::string much = "sodium-metabisulfite 1; glycerin 5; hydroxyethylcellulose 1";
  const Move down(much, 3.0, "hair", "rinse-off");
  CHECK(down.starts_at() > 3.5);
  CHECK(down.given() == "");
  CHECK(down.able() >= 3);
  CHECK(says(down.reason("citric-acid"), "sulfur dioxide"));
  CHECK(Move("sodium-sulfite 5; glycerin 5", 3.8, "hair", "rinse-off").given() == "");
  CHECK(Move("sodium-sulfite 5; glycerin 5", 6.5, "hair", "rinse-off").gives("citric-acid"));
  CHECK(Move(much, 6.5, "hair", "rinse-off").gives("sodium-hydroxide"));
}

TEST_CASE("a trace of sulfite as an antioxidant does not stand in the way") {
  const std::string cream =
      "sodium-metabisulfite 0.1; glycerin 5; trisodium-citrate-dihydrate 0.3; "
      "hydroxyethylcellulose 1";
  CHECK(Move(cream, 4.5, "face", "leave-on").gives("citric-acid"));
  CHECK(Move(cream, 3.4, "face", "leave-on").gives("citric-acid"));
}

TEST_CASE("thioglycolate is not acidified below pH 7") {
  const std::string lotion = "ammonium-thioglycolate-60 12; ammonia-25 2; glycerin 2";
  const Move down(lotion, 6.0, "hair", "rinse-off");
  CHECK(down.starts_at() > 7);
  CHECK(down.given() == "");
  CHECK(down.able() >= 3);
  CHECK(says(down.reason("citric-acid"), "hydrogen sulfide"));
  CHECK(Move(lotion, 8.5, "hair", "rinse-off").gives("citric-acid"));
}

TEST_CASE("a sulfide hair remover is not acidified") {
  const std::string remover = "calcium-sulfide 8; kaolin 20; glycerin 5";
  const Move down(remover, 9.0, "body", "rinse-off");
  CHECK(down.starts_at() > 11);
  CHECK(down.given() == "");
  CHECK(down.able() >= 3);
  CHECK(says(down.reason("citric-acid"), "hydrogen sulfide"));
  CHECK(Move(remover, 11.4, "body", "rinse-off").gives("citric-acid"));
}

TEST_CASE("hypochlorite meets neither acid nor ammonia nor amine") {
  const std::string bleach = "sodium-hypochlorite-5 30; sodium-chloride 1";
  const Move down(bleach, 6.0, "", "rinse-off");
  CHECK(down.starts_at() > 9);
  CHECK(down.given() == "");
  CHECK(down.able() >= 3);
  CHECK(says(down.reason("citric-acid"), "chlorin"));
  CHECK(Move(bleach, 9.5, "", "rinse-off").reason("citric-acid").size());

  const Move up("sodium-hypochlorite-5 2; sodium-bicarbonate 1", 9.5, "", "rinse-off");
  CHECK(up.starts_at() < 9.5);
  for (const auto* nitrogen :
       {"ammonia-10", "triethanolamine-99", "ethanolamine", "arginine", "tromethamine"})
    CHECK_MESSAGE(says(up.reason(nitrogen), "chloramines"), nitrogen);
  CHECK(up.gives("sodium-hydroxide"));
  CHECK(up.gives("sodium-carbonate"));
}

TEST_CASE("hydrogen peroxide is not made alkaline") {
  for (const std::string developer :
       {"hydrogen-peroxide-30 20; cetearyl-alcohol 3; ceteareth-20 1; etidronic-acid-60 0.1",
        "hydrogen-peroxide-3 50; glycerin 3; etidronic-acid-60 0.1",
        "hydrogen-peroxide-12 7; glycerin 3; etidronic-acid-60 0.1"}) {
    const Move up(developer, 7.5, "hair", "rinse-off");
    CHECK(up.starts_at() < 5);
    CHECK(up.given() == "");
    CHECK(up.able() >= 3);
    CHECK(says(up.reason("triethanolamine-99"), "gas"));
    CHECK(Move(developer, 3.5, "hair", "rinse-off").gives("disodium-phosphate-dihydrate"));
  }
  CHECK(Move("hydrogen-peroxide-3 2; glycerin 3; carbomer 0.3", 6.5, "face", "leave-on")
            .gives("triethanolamine-99"));
}

// A stop that holds already has been told, but the move leads deeper into its span of pH.
TEST_CASE("who has gone too far is not sent further: soap") {
  const Move down("potassium-cocoate-40 50; glycerin 5; citric-acid 1.5", 6.0, "hand", "rinse-off");
  REQUIRE(down.starts_at() < 8.9);
  CHECK(down.given() == "");
  CHECK(down.able() >= 3);
}
TEST_CASE("who has gone too far is not sent further: thioglycolate") {
  const Move down("thioglycolic-acid-80 8; ammonia-25 4; glycerin 2", 4.0, "hair", "rinse-off");
  REQUIRE(down.starts_at() < 6.9);
  CHECK(down.given() == "");
  CHECK(down.able() >= 3);
}
TEST_CASE("who has gone too far is not sent further: peroxide") {
  const Move up("hydrogen-peroxide-30 20; disodium-phosphate-dihydrate 0.02", 8.0, "hair",
                "rinse-off");
  REQUIRE(up.starts_at() > 5.1);
  CHECK(up.given() == "");
  CHECK(up.able() >= 3);
}
// A pair without a gate on the pH has been told when the formula holds both already.
TEST_CASE("more acid is not given to hypochlorite that has met some") {
  const Move down("sodium-hypochlorite-5 30; citric-acid 0.02", 9.5, "", "rinse-off");
  REQUIRE(down.starts_at() > 9.6);
  CHECK(down.reason("citric-acid") != "");
}

// Doses are held against the batch with the adjuster in, which a weak stock thins.
TEST_CASE("a weak stock does not thin its way past a stop") {
  const Move down("stearic-acid 15; potassium-hydroxide 0.8; glycerin 8; phenoxyethanol 0.9", 5.5,
                  "face", "leave-on");
  CHECK_FALSE(down.gives("potassium-bitartrate"));
}

TEST_CASE("who has gone too far may come back") {
  CHECK(Move("potassium-cocoate-40 50; glycerin 5; citric-acid 1.5", 9.5, "hand", "rinse-off")
            .gives("potassium-hydroxide-10"));
  CHECK(Move("thioglycolic-acid-80 8; ammonia-25 4; glycerin 2", 8.5, "hair", "rinse-off")
            .gives("ammonia-25"));
  CHECK(Move("hydrogen-peroxide-30 20; disodium-phosphate-dihydrate 0.02", 3.5, "hair", "rinse-off")
            .gives("phosphoric-acid-10"));
  CHECK(Move("sodium-metabisulfite 1; citric-acid 2; glycerin 5", 4.5, "hair", "rinse-off")
            .gives("sodium-hydroxide"));
}

TEST_CASE("every caustic or corrosive adjuster tells how to handle it") {
  const Tables& tables = Tables::built_in();
  std::size_t caustic = 0;
  for (const auto& id : all_adjusters()) {
    const bool burns = std::ranges::any_of(
        std::vector<std::string>{"strong-alkali", "corrosive-acid", "concentrated-hydroxy-acid",
                                 "corrosive-amine", "caustic-phosphate", "ammonia-solution"},
        [&](const std::string& name) { return tables.covers(name, id); });
    if (!burns) continue;
    ++caustic;
    CAPTURE(id);
    const auto fired =
        cautions_of(samples::formula_of({{id, 0.5}}), std::nullopt, std::nullopt, tables);
    CHECK(std::ranges::any_of(fired, [](const FiredCaution& caution) {
      const auto& text = caution.what_to_do;
      return caution.severity != tables::Severity::note && says(text, "oggles") &&
             says(text, "gloves") && says(text, "into") &&
             says(text, "Label it and keep it out of children's reach") &&
             says(text, "rinse splashes");
    }));
  }
  CHECK(caustic >= 30);
}

TEST_CASE("a stock of lye holds at most a tenth of lye unless another is asked for") {
  const Tables& tables = Tables::built_in();
  for (const auto& id : all_adjusters()) {
    if (!tables.covers("hydroxide", id)) continue;
    double lye = 0;
    for (const auto& part : tables.composition_of(id))
      if (part.component == "sodium-hydroxide" || part.component == "potassium-hydroxide")
        lye += part.mass_fraction;
    CAPTURE(id);
    CHECK(lye > 0);
    CHECK(adjuster_named(id, tables).stock_percent * lye <= 10);
  }
}
