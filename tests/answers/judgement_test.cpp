// SPDX-License-Identifier: MIT
#include "samples.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <functional>

using namespace counterion;

namespace {

const Tables& known() { return Tables::built_in(); }

double pK_of(const std::string& substance) {
  for (const auto& row : known().constants_of(substance))
    if (row.quantity == "pK" && row.rank == 1) return row.value;
  return 0;
}

const CheckedLimit* limit_of(const std::vector<CheckedLimit>& limits, const std::string& market) {
  const auto found = std::find_if(limits.begin(), limits.end(),
                                  [&](const auto& limit) { return limit.market == market; });
  return found == limits.end() ? nullptr : &*found;
}

std::vector<CheckedLimit> benzoate_limits(double percent, const std::string& use) {
  return limits_of(samples::formula_of({{"sodium-benzoate", percent}}, "face", use), known(), {"EU"});
}

const FiredCaution* fired(const std::vector<FiredCaution>& cautions, const std::string& id) {
  const auto found = std::find_if(cautions.begin(), cautions.end(),
                                  [&](const auto& caution) { return caution.id == id; });
  return found == cautions.end() ? nullptr : &*found;
}

}  // namespace

TEST_CASE("half of an acid preservative is active where the pH equals its pK") {
  const auto phase = water_phase_of(samples::formula_of({{"sodium-benzoate", 0.5}, {"potassium-sorbate", 0.3}}), known());
  REQUIRE(phase);
  for (const std::string acid : {"benzoic-acid", "sorbic-acid"}) {
    CHECK(undissociated_share(*phase, acid, pK_of(acid), 0) == doctest::Approx(0.5).epsilon(1e-6));
    CHECK(undissociated_share(*phase, acid, pK_of(acid) + 1, 0) == doctest::Approx(1 / 11.0).epsilon(1e-6));
    CHECK(undissociated_share(*phase, acid, pK_of(acid), 0.1) < 0.5);
  }
  CHECK(undissociated_share(*phase, "salicylic-acid", 3, 0) == 0);
}

TEST_CASE("a preservative's upper edge is where its active amount falls to the published least") {
  const auto formula = samples::formula_of({{"potassium-sorbate", 0.3}, {"glycerin", 3}});
  const auto phase = water_phase_of(formula, known());
  const auto prediction = predict(*phase);
  const auto states = preservation_of(formula, *phase, prediction, 4.5, known()).acids;
  REQUIRE(states.size() == 1);
  const auto& state = states.front();
  REQUIRE(state.least_active);
  REQUIRE(state.highest_ph);
  const auto at_edge = preservation_of(formula, *phase, prediction, *state.highest_ph, known()).acids;
  CHECK(*at_edge.front().active_at_target == doctest::Approx(*state.least_active).epsilon(1e-6));
  CHECK(state.percent_as_acid == doctest::Approx(0.3 * 112.13 / 150.22).epsilon(0.03));
  CHECK(*state.share_at_target > 0.5);
}

TEST_CASE("more of a preservative reaches further up") {
  const auto edge = [](double percent) {
    const auto formula = samples::formula_of({{"sodium-benzoate", percent}});
    const auto phase = water_phase_of(formula, known());
    return preservation_of(formula, *phase, predict(*phase), std::nullopt, known()).acids.front().highest_ph;
  };
  CHECK(*edge(0.6) > *edge(0.4));
  CHECK_FALSE(edge(0.05));  // too little at any pH
}

TEST_CASE("the limit of sodium benzoate is on the acid: 0.6 % in a leave-on is over 0.5 %") {
  const auto limits = benzoate_limits(0.6, "leave-on");
  const auto* over = limit_of(limits, "EU");
  REQUIRE(over);
  CHECK(over->expressed_as == "benzoic acid");
  CHECK(over->percent == doctest::Approx(0.6 * 122.12 / 144.10).epsilon(0.01));
  CHECK(over->maximum_percent == 0.5);
  CHECK(over->exceeded);
  CHECK(check(samples::formula_of({{"sodium-benzoate", 0.6}})).stop());
  const auto within = benzoate_limits(0.58, "leave-on");
  CHECK_FALSE(limit_of(within, "EU")->exceeded);
}

TEST_CASE("the kind of product decides which limit holds, and an unstated one is taken strictly") {
  const auto rinse_off = benzoate_limits(0.6, "rinse-off"), unstated = benzoate_limits(0.6, "");
  CHECK(limit_of(rinse_off, "EU")->maximum_percent == 2.5);
  CHECK_FALSE(limit_of(rinse_off, "EU")->exceeded);
  CHECK(std::any_of(unstated.begin(), unstated.end(), [](const auto& l) { return l.exceeded; }));
}

TEST_CASE("acid and salt of one preservative count together") {
  const auto limits = limits_of(
      samples::formula_of({{"potassium-sorbate", 0.5}, {"sorbic-acid", 0.3}}), known(), {"EU"});
  const auto* limit = limit_of(limits, "EU");
  REQUIRE(limit);
  CHECK(limit->items.size() == 2);
  CHECK(limit->exceeded);
}

TEST_CASE("a caution holds inside its span of pH, and only as a note once the target leaves it") {
  const auto formula = samples::formula_of({{"magnesium-ascorbyl-phosphate", 2}});
  const auto cautions = [&](double predicted, std::optional<double> target) {
    return cautions_of(formula, predicted, target, known());
  };
  const auto acid = cautions(5, std::nullopt), leaving = cautions(5, 7), neutral = cautions(7, 7),
             entering = cautions(7, 5);
  REQUIRE(fired(acid, "C056"));
  CHECK(fired(acid, "C056")->severity == tables::Severity::caution);
  REQUIRE(fired(leaving, "C056"));
  CHECK(fired(leaving, "C056")->holding == Holding::until_adjusted);
  CHECK(fired(leaving, "C056")->severity == tables::Severity::note);
  CHECK_FALSE(fired(neutral, "C056"));
  REQUIRE(fired(entering, "C056"));
  CHECK(fired(entering, "C056")->holding == Holding::there);
}

TEST_CASE("a caution about two needs both of them") {
  const auto one = cautions_of(samples::formula_of({{"urea", 5}}), 5.0, 5.0, known());
  const auto both = cautions_of(samples::formula_of({{"urea", 5}, {"potassium-sorbate", 0.3}}), 5.0, 5.0, known());
  CHECK_FALSE(fired(one, "C051"));
  REQUIRE(fired(both, "C051"));
  CHECK(fired(both, "C051")->items.size() == 2);
}

TEST_CASE("cautions come worst first") {
  for (const auto& name : samples::names) {
    const auto cautions = check(samples::sample(name)).cautions;
    CHECK(std::is_sorted(cautions.begin(), cautions.end(),
                         [](const auto& a, const auto& b) { return a.severity > b.severity; }));
  }
}

TEST_CASE("a material in no table is said to be not judged") {
  auto formula = samples::formula_of({{"glycerin", 5}});
  formula.items[0].ingredient.clear();
  formula.items[0].written = "moon dust";
  const auto silent = check(formula).not_judged;
  CHECK(std::any_of(silent.begin(), silent.end(), [](const auto& n) { return n.what == "moon dust"; }));
}

// Common practice: what makes soap is never brought to a skin-like pH.
TEST_CASE("no grams of acid are given where lye and oil make soap") {
  const auto result = check(samples::formula_of({{"olive-oil", 60}, {"sodium-hydroxide", 8}}, "body", "rinse-off"));
  CHECK(result.stop());
  for (const auto& adjustment : result.adjustments) {
    CHECK(adjustment.grams == 0);
    CHECK((!adjustment.possible || !adjustment.withheld.empty()));
  }
}

TEST_CASE("what holds only within the prediction's interval weighs less, and is said to be possible") {
  const auto formula = samples::formula_of({{"hydrogen-peroxide-12", 30}});
  PHInQuestion ph;
  ph.predicted = 4.8;
  ph.interval = Interval{4.4, 5.3};
  const auto possible = cautions_of(formula, ph, known());
  REQUIRE(fired(possible, "C354"));
  CHECK(fired(possible, "C354")->holding == Holding::possibly);
  CHECK(fired(possible, "C354")->severity == tables::Severity::caution);
  ph.interval = Interval{4.4, 4.9};
  CHECK_FALSE(fired(cautions_of(formula, ph, known()), "C354"));
}

TEST_CASE("what holds in another part of the window is a note") {
  const auto formula = samples::formula_of({{"magnesium-ascorbyl-phosphate", 2}});
  const auto cautions = cautions_of(formula, {7.0, 7.0, std::nullopt, Interval{5.5, 8}}, known());
  REQUIRE(fired(cautions, "C056"));
  CHECK(fired(cautions, "C056")->holding == Holding::elsewhere);
  CHECK(fired(cautions, "C056")->severity == tables::Severity::note);
}

TEST_CASE("no two cautions of an answer say the same") {
  for (const auto& name : samples::names) {
    const auto cautions = check(samples::sample(name)).cautions;
    for (std::size_t i = 0; i < cautions.size(); ++i)
      for (std::size_t k = 0; k < i; ++k)
        CHECK((cautions[i].what_happens != cautions[k].what_happens || cautions[i].severity != cautions[k].severity));
  }
}

// Regulation (EC) 1223/2009, Annex V entry 12: 0.4 % as acid for one ester, 0.8 % as acid for mixtures.
TEST_CASE("parabens count as their acid, each for itself and all together") {
  const auto limits = [&](double methyl, double ethyl) {
    return limits_of(samples::formula_of({{"methylparaben", methyl}, {"ethylparaben", ethyl}}), known(), {"EU"});
  };
  const auto exceeded = [](const std::vector<CheckedLimit>& all) { return std::ranges::any_of(all, &CheckedLimit::exceeded); };
  CHECK_FALSE(exceeded(limits(0.43, 0.43)));  // 0.39 % as acid each, 0.78 % together
  CHECK(exceeded(limits(0.46, 0)));           // 0.42 % as acid
  const auto both = limits(0.44, 0.48);       // 0.40 and 0.399 %: each within
  const auto sum = std::ranges::find_if(both, [](const CheckedLimit& l) { return l.items.size() == 2; });
  REQUIRE(sum != both.end());
  CHECK(sum->percent == doctest::Approx(0.44 * 138.12 / 152.15 + 0.48 * 138.12 / 166.17).epsilon(0.01));
  CHECK_FALSE(sum->date_seen.empty());
}

TEST_CASE("an acid noted as an adjuster is not judged as an exfoliant") {
  auto formula = samples::formula_of({{"lactic-acid-80", 1.6}, {"glycerin", 5}});
  CHECK(fired(cautions_of(formula, 3.2, 3.2, known()), "C066"));
  formula.items[0].note = "to adjust the pH";
  CHECK_FALSE(fired(cautions_of(formula, 3.2, 3.2, known()), "C066"));
}

// Doses that act alike add up (assumption); each by itself stays the firm core.
TEST_CASE("two acid preservatives reach further together than each alone, and the firm core says so") {
  const auto edge = [](const std::vector<std::pair<std::string, double>>& items) { return check(samples::formula_of(items)).window; };
  const auto benzoate = edge({{"sodium-benzoate", 0.4}}), sorbate = edge({{"potassium-sorbate", 0.2}});
  const auto both = edge({{"sodium-benzoate", 0.4}, {"potassium-sorbate", 0.2}});
  CHECK(both.high > benzoate.high);
  CHECK(both.high > sorbate.high);
  REQUIRE(both.firm);
  CHECK(both.firm->high <= std::min(benzoate.high, sorbate.high) + 0.02);
}

TEST_CASE("two salts of one acid are one preservative") {
  const auto result = check(samples::formula_of({{"sodium-benzoate", 0.25}, {"potassium-benzoate", 0.25}}));
  REQUIRE(result.preservation.acids.size() == 1);
  CHECK(result.preservation.acids[0].items.size() == 2);
  CHECK(result.preservation.acids[0].percent_as_acid == doctest::Approx(0.25 * 122.12 / 144.1 + 0.25 * 122.12 / 160.2).epsilon(0.02));
}

TEST_CASE("the curve of a preservative falls with the pH and agrees with its share") {
  const auto state = check(samples::formula_of({{"sodium-benzoate", 0.5}})).preservation.acids.front();
  REQUIRE(state.curve.size() == 21);
  CHECK(std::ranges::is_sorted(state.curve, std::greater<>(), &ActiveAt::percent));
  const auto below = std::ranges::find_if(state.curve, [&](const ActiveAt& p) { return p.ph > *state.highest_ph; });
  CHECK(below->percent < *state.least_active);
  CHECK(std::prev(below)->percent > *state.least_active);
}

TEST_CASE("losses that no table knows are named, not taken as nothing") {
  const auto known_losses = check(samples::formula_of({{"sodium-benzoate", 0.5}, {"calendula-oil", 10}}));
  CHECK(known_losses.preservation.acids[0].unknown_losses.empty());
  const auto unknown = check(samples::formula_of({{"sodium-levulinate", 1}, {"sodium-anisate", 0.2}, {"calendula-oil", 10}}));
  CHECK(std::ranges::any_of(unknown.preservation.acids, [](const auto& state) { return !state.unknown_losses.empty(); }));
}

TEST_CASE("much alcohol or little free water is a lower risk, and never called preserved") {
  const auto lotion = check(samples::formula_of({{"ethanol-96", 40}}));
  REQUIRE(lotion.preservation.lower_risk.size() == 1);
  CHECK(lotion.preservation.none());
  CHECK(check(samples::formula_of({{"glycerin", 5}})).preservation.lower_risk.empty());
}

TEST_CASE("salt beyond a thickener's tolerance is seen, and opposite charges are named") {
  const auto salty = check(samples::formula_of({{"carbomer", 0.4}, {"sodium-hydroxide-10", 1.5}, {"sodium-chloride", 1}}));
  REQUIRE(salty.electrolyte);
  REQUIRE(salty.electrolyte->thickeners.size() == 1);
  CHECK(salty.electrolyte->thins(salty.electrolyte->thickeners[0]));
  CHECK(salty.electrolyte->load > 0.17);
  const auto mixed = check(samples::formula_of({{"cetrimonium-chloride-29", 3}, {"sodium-laureth-sulfate-27", 20}}));
  CHECK(mixed.electrolyte->opposite_charges_meet());
}

// ISO 29621 aside, what has no water phase has no pH: no window, no target, no stop for want of one.
TEST_CASE("a product without water has no window and nothing to aim for") {
  const auto balm = check(samples::formula_of({{"calendula-oil", 80}, {"beeswax", 20}}));
  CHECK_FALSE(balm.prediction);
  CHECK_FALSE(balm.target);
  CHECK_FALSE(balm.stop());
  CHECK(balm.adjustments.empty());
}
