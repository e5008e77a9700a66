// SPDX-License-Identifier: MIT
// Many at once against one at a time: every kernel that this processor can run. COUNTERION_MIXTURES sets how
// many random patterns are tried.
#include "kernels.hpp"
#include "random_mixture.hpp"
#include "rows.hpp"

#include <counterion/chemistry/variants.hpp>

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <limits>

using namespace counterion;

namespace {

const double not_a_number = std::numeric_limits<double>::quiet_NaN();

std::uint64_t how_many(std::uint64_t otherwise) {
  const char* text = std::getenv("COUNTERION_MIXTURES");
  return text == nullptr ? otherwise : std::strtoull(text, nullptr, 10);
}

/// A pattern, the numbers of its variants, and each of them written out.
class Family {
 public:
  Family(std::vector<Amount> amounts, const Conditions& conditions, std::size_t count)
      : amounts_(std::move(amounts)), conditions_(conditions), molality_(amounts_.size()), pK_(amounts_.size()),
        strong_(count) {}

  /// New amounts within a factor of ten to the `decades`, now and then none, and new pK.
  void shake(test::Dice& dice, double decades, double pK_by) {
    for (std::size_t i = 0; i < amounts_.size(); ++i) {
      const double known = in_mol_per_kg(amounts_[i].molality);
      if (dice.chance(0.7))
        for (std::size_t k = 0; k < strong_.size(); ++k)
          molality_[i].push_back(dice.chance(0.05) ? 0 : known * std::pow(10.0, dice.between(-decades, decades)));
      for (const double pK : pK_of(amounts_[i])) {
        auto& column = pK_[i].emplace_back();
        if (dice.chance(0.5))
          for (std::size_t k = 0; k < strong_.size(); ++k) column.push_back(pK + dice.between(-pK_by, pK_by));
      }
    }
    for (double& charge : strong_) charge = dice.between(-0.1, 0.1);
  }
  Variants variants() const {
    Variants result(Solution(amounts_, conditions_, mol_per_kg(0.01)), strong_.size());
    for (std::size_t i = 0; i < amounts_.size(); ++i) {
      if (!molality_[i].empty()) result.molality(i, molality_[i]);
      for (std::size_t step = 0; step < pK_[i].size(); ++step)
        if (!pK_[i][step].empty()) result.pK(i, step, pK_[i][step]);
    }
    return result.strong_charge(strong_);
  }
  Solution one(std::size_t variant) const {
    std::vector<Amount> amounts = amounts_;
    for (std::size_t i = 0; i < amounts.size(); ++i) {
      if (!molality_[i].empty()) amounts[i].molality = mol_per_kg(molality_[i][variant]);
      put_pK(amounts[i], pK_[i], variant);
    }
    return Solution(amounts, conditions_, mol_per_kg(strong_[variant]));
  }
  std::size_t count() const { return strong_.size(); }

 private:
  static std::vector<double> pK_of(const Amount& amount) {
    if (const auto* polymer = std::get_if<AcidPolymer>(&amount.what)) return {polymer->pK0};
    std::vector<double> values;
    if (const auto* protolyte = std::get_if<Protolyte>(&amount.what))
      for (const auto& step : protolyte->steps()) values.push_back(step.pK);
    return values;
  }
  static void put_pK(Amount& amount, const std::vector<std::vector<double>>& columns, std::size_t variant) {
    if (auto* polymer = std::get_if<AcidPolymer>(&amount.what); polymer && !columns[0].empty())
      polymer->pK0 = columns[0][variant];
    const auto* protolyte = std::get_if<Protolyte>(&amount.what);
    if (protolyte == nullptr) return;
    auto steps = protolyte->steps();
    std::vector<double> sizes;
    for (std::size_t step = 0; step < steps.size(); ++step)
      if (!columns[step].empty()) steps[step].pK = columns[step][variant];
    for (std::size_t form = 0; form <= steps.size(); ++form) sizes.push_back(protolyte->ion_size_angstrom(form));
    amount.what = Protolyte(protolyte->charge_fully_protonated(), steps, protolyte->name(), sizes);
  }

  std::vector<Amount> amounts_;
  Conditions conditions_;
  std::vector<std::vector<double>> molality_;
  std::vector<std::vector<std::vector<double>>> pK_;
  std::vector<double> strong_;
};

struct Answers {
  std::vector<double> ph, ionic_strength;
  std::vector<Status> status;

  Answers(const chemistry::LaneKernel* kernel, const Variants& variants)
      : ph(variants.count()), ionic_strength(ph), status(ph.size()) {
    chemistry::solve_many_with(kernel, variants, ph, ionic_strength, status);
  }
};

struct Worst {
  test::Deviations ph, ionic_strength;
  std::size_t answers = 0, unsolved = 0;

  void add(const Family& family, const Answers& found, const std::string& where) {
    for (std::size_t i = 0; i < family.count(); ++i) {
      ++answers;
      const Solution alone = family.one(i);
      const double I = in_mol_per_kg(alone.ionic_strength());
      const double blur = test::blur(alone);
      if (found.status[i] != Status::solved) ++unsolved;
      ph.add(test::beyond(found.ph[i] - alone.ph().value(), blur), where);
      ionic_strength.add(test::beyond((found.ionic_strength[i] - I) / (I + 1e-7), blur), where);
    }
  }
  void check() const {
    MESSAGE("pH: " << ph.summary());
    MESSAGE("ionic strength, relative: " << ionic_strength.summary());
    CHECK(unsolved == 0);
    CHECK(ph.worst() <= 1e-9);
    CHECK(ionic_strength.worst() <= 1e-8);
  }
};

template <class Pattern>
void compare_all(std::uint64_t patterns, Pattern&& pattern) {
  for (const auto* kernel : test::all_ways()) {
    Worst worst;
    for (std::uint64_t number = 1; number <= patterns; ++number) {
      test::Dice dice(number);
      Family family = pattern(dice);
      family.shake(dice, dice.chance(0.5) ? 0.05 : 2, dice.chance(0.5) ? 0.05 : 3);
      worst.add(family, Answers(kernel, family.variants()), fmt::format("pattern {}", number));
    }
    CAPTURE(test::name_of(kernel));
    MESSAGE(test::name_of(kernel));
    worst.check();
  }
}

const Protolyte acetic(0, {{4.756}}, "acetic acid");
const Protolyte citric(0, {{3.128}, {4.761}, {6.396}}, "citric acid");

Solution vinegar() {
  const std::vector<Amount> amounts{{acetic, mol_per_kg(0.1)}, {StrongIon{"sodium", 1}, mol_per_kg(0.05)}};
  return Solution(amounts);
}

std::vector<double> evenly(double first, double last, std::size_t count) {
  std::vector<double> values;
  for (std::size_t i = 0; i < count; ++i)
    values.push_back(first + (last - first) * static_cast<double>(i) / static_cast<double>(count));
  return values;
}

}  // namespace

TEST_CASE("variants of random mixtures are solved as each alone") {
  compare_all(how_many(300), [](test::Dice& dice) {
    test::RandomMixture mixture;
    do mixture = test::random_mixture(dice);
    while (!test::is_tame(mixture.amounts));
    return Family(mixture.amounts, mixture.conditions, static_cast<std::size_t>(dice.whole(1, 30)));
  });
}

TEST_CASE("variants beside oil, crystals, gases and polymers are solved as each alone") {
  compare_all(how_many(300), [](test::Dice& dice) {
    Conditions conditions;
    if (dice.chance(0.2)) conditions.activity = Activity::ideal;
    auto batch = test::random_batch(dice);
    return Family(std::move(batch), conditions, static_cast<std::size_t>(dice.whole(1, 30)));
  });
}

TEST_CASE("ladders of five and six charges are solved in lanes, too") {
  const std::size_t count = 200;
  const Protolyte phytic(0, {{1.1}, {1.6}, {1.9}, {5.6}, {7.6}, {9.7}}, "acid of six protons");
  const Protolyte amine(5, {{3}, {4.5}, {6}, {8}, {9.5}}, "base of five protons");
  const Protolyte both(3, {{2}, {3}, {4}, {6}, {8}, {9}, {10}, {11}}, "ampholyte");
  const std::vector<Amount> amounts{{phytic, mol_per_kg(0.01)}, {amine, mol_per_kg(0.005)}, {both, mol_per_kg(0.003)}};
  const auto strong = evenly(-0.04, 0.06, count);
  for (const auto* kernel : test::all_ways()) {
    Variants variants{Solution(amounts), count};
    variants.strong_charge(strong);
    const Answers found(kernel, variants);
    INFO(test::name_of(kernel));
    for (std::size_t i = 0; i < count; ++i) {
      const Solution alone(amounts, {}, mol_per_kg(strong[i]));
      CHECK(std::abs(found.ph[i] - alone.ph().value()) < 1e-9);
    }
  }
}

TEST_CASE("where slopes jump the answer is as sure: Davies' hold, a saturated acid") {
  const std::size_t count = 2000;
  NeutralForm scarce;
  scarce.solubility = 0.03;
  const std::vector<Amount> amounts{{citric, mol_per_kg(0.02)},
                                    {Protolyte(0, {{4.2}}, "benzoic acid"), mol_per_kg(0.05), scarce},
                                    {StrongIon{"sodium", 1}, mol_per_kg(0.45)},
                                    {StrongIon{"chloride", -1}, mol_per_kg(0.4)}};
  for (const double width : {0.1, 1e-3, 1e-5, 1e-6}) {
    for (const auto* kernel : test::all_ways()) {
      // first around an ionic strength of 0.5, then around saturation
      for (const std::size_t position : {2u, 1u}) {
        std::vector<Amount> around = amounts;
        if (position == 2) {
          double low = 0.4, high = 0.6;  // of salt
          for (int halving = 0; halving < 60; ++halving) {
            const double middle = 0.5 * (low + high);
            around[2].molality = mol_per_kg(middle + 0.05), around[3].molality = mol_per_kg(middle);
            (in_mol_per_kg(Solution(around).ionic_strength()) < 0.5 ? low : high) = middle;
          }
        } else {
          double low = 0.01, high = 0.2;
          for (int halving = 0; halving < 60; ++halving) {
            around[1].molality = mol_per_kg(0.5 * (low + high));
            (Solution(around).is_saturated(1) ? high : low) = 0.5 * (low + high);
          }
        }
        const double middle = in_mol_per_kg(around[position].molality);
        const auto column = evenly(middle * (1 - width), middle * (1 + width), count);
        Variants variants{Solution(around), count};
        variants.molality(position, column);
        const Answers found(kernel, variants);
        double worst = 0;
        for (std::size_t i = 0; i < count; i += 7) {
          around[position].molality = mol_per_kg(column[i]);
          worst = std::max(worst, std::abs(found.ph[i] - Solution(around).ph().value()));
        }
        INFO(test::name_of(kernel) << ", " << width << ", " << position);
        CHECK(worst < 1e-9);
      }
    }
  }
}

TEST_CASE("however many variants there are, the first and the last are right") {
  for (const auto* kernel : test::all_ways())
    for (const std::size_t count : {1u, 2u, 3u, 5u, 8u, 511u, 512u, 513u, 515u, 1031u}) {
      const auto base = evenly(0.001, 0.09, count);
      Variants variants(vinegar(), count);
      variants.molality(1, base);
      const Answers found(kernel, variants);
      INFO(test::name_of(kernel) << ", " << count);
      for (const std::size_t i : {std::size_t{0}, count / 2, count - 1}) {
        const std::vector<Amount> amounts{{acetic, mol_per_kg(0.1)}, {StrongIon{"sodium", 1}, mol_per_kg(base[i])}};
        CHECK(found.ph[i] == doctest::Approx(Solution(amounts).ph().value()).epsilon(1e-10));
      }
    }
}

TEST_CASE("no variants at all are nothing to do") {
  std::vector<double> none;
  solve_many(Variants(vinegar(), 0), none);
}

TEST_CASE("one bad number leaves the others alone") {
  const std::size_t count = 23;
  for (const auto* kernel : test::all_ways())
    for (const double bad : {not_a_number, -1.0, 2e6, std::numeric_limits<double>::infinity()}) {
      auto acid = evenly(0.01, 0.2, count), pK = evenly(4, 5, count), strong = evenly(-0.01, 0.01, count);
      acid[3] = bad;
      pK[7] = bad == -1 ? 61 : bad;
      strong[22] = bad == -1 ? -2e6 : bad;
      Variants variants(vinegar(), count);
      variants.molality(0, acid).pK(0, 0, pK).strong_charge(strong);
      const Answers found(kernel, variants);
      INFO(test::name_of(kernel) << ", " << bad);
      for (std::size_t i = 0; i < count; ++i) {
        const bool is_bad = i == 3 || i == 7 || i == 22;
        CHECK(found.status[i] == (is_bad ? Status::bad_input : Status::solved));
        CHECK(std::isfinite(found.ph[i]) == !is_bad);
        CHECK(std::isfinite(found.ionic_strength[i]) == !is_bad);
      }
    }
}

TEST_CASE("parts are the whole, cut") {
  const std::size_t count = 100;
  const auto acid = evenly(0.01, 0.2, count), pK = evenly(3, 6, count), strong = evenly(-0.01, 0.01, count);
  Variants variants(vinegar(), count);
  variants.molality(0, acid).pK(0, 0, pK).strong_charge(strong);
  std::vector<double> whole(count), cut(count);
  solve_many(variants, whole);
  for (const auto& [first, size] : {std::pair{0u, 37u}, {37u, 1u}, {38u, 62u}})
    solve_many(variants.part(first, size), std::span(cut).subspan(first, size));
  for (std::size_t i = 0; i < count; ++i) CHECK(std::abs(whole[i] - cut[i]) < 1e-9);
  CHECK_NOTHROW(variants.part(100, 0));
  CHECK_THROWS_AS(variants.part(100, 1), std::out_of_range);
  CHECK_THROWS_AS(variants.part(101, 0), std::out_of_range);
}

TEST_CASE("a column is checked when it is given, results when they are asked for") {
  Variants variants(vinegar(), 10);
  const std::vector<double> short_one(9), right(10);
  CHECK_THROWS_AS(variants.molality(0, short_one), BadInput);
  CHECK_THROWS_AS(variants.pK(0, 0, short_one), BadInput);
  CHECK_THROWS_AS(variants.strong_charge(short_one), BadInput);
  CHECK_THROWS_AS(variants.molality(2, right), std::out_of_range);
  CHECK_THROWS_AS(variants.pK(2, 0, right), std::out_of_range);
  CHECK_THROWS_AS(variants.pK(0, 1, right), std::out_of_range);
  CHECK_THROWS_AS(variants.pK(1, 0, right), std::out_of_range);
  std::vector<double> ph(10), too_few(9);
  std::vector<Status> status(11);
  CHECK_THROWS_AS(solve_many(variants, too_few), BadInput);
  CHECK_THROWS_AS(solve_many(variants, ph, too_few), BadInput);
  CHECK_THROWS_AS(solve_many(variants, ph, {}, status), BadInput);
}

TEST_CASE("what the lanes cannot do is done one by one: far constants, many charges") {
  const std::size_t count = 16;
  const auto far = evenly(-58, 58, count), acid = evenly(0, 3, count);
  const Protolyte cage(8, std::vector<Ionisation>(16, Ionisation{7}), "cage");
  for (const auto* kernel : test::all_ways()) {
    const std::vector<Amount> amounts{{citric, mol_per_kg(0.1)}, {cage, mol_per_kg(1e-4)}};
    Variants many_charges(Solution(amounts), count);
    many_charges.molality(0, acid);
    const std::vector<Amount> few{{citric, mol_per_kg(0.1)}};
    Variants far_constants(Solution(few), count);
    far_constants.pK(0, 0, far).pK(0, 2, far);
    CAPTURE(test::name_of(kernel));
    const Answers one(kernel, many_charges), two(kernel, far_constants);
    for (std::size_t i = 0; i < count; ++i) {
      const std::vector<Amount> with{{citric, mol_per_kg(acid[i])}, {cage, mol_per_kg(1e-4)}};
      CHECK(std::abs(one.ph[i] - Solution(with).ph().value()) < 1e-9);
      const Protolyte odd(0, {{far[i]}, {4.761}, {far[i]}}, "citric acid");
      const std::vector<Amount> other{{odd, mol_per_kg(0.1)}};
      CHECK(std::abs(two.ph[i] - Solution(other).ph().value()) < 1e-9);
    }
  }
}

TEST_CASE("specific interactions are settled in every variant") {
  const std::size_t count = 9;
  Conditions conditions;
  conditions.activity = Activity::specific_ion;
  conditions.interactions = std::make_shared<Interactions>(
      std::vector<Interaction>{{{"sodium", 1}, {"acetic acid", -1}, 0.08}});
  const auto sodium = evenly(0.01, 2, count);
  const auto with = [&](double molality) {
    const std::vector<Amount> amounts{{acetic, mol_per_kg(2)}, {StrongIon{"sodium", 1}, mol_per_kg(molality)}};
    return Solution(amounts, conditions);
  };
  Variants variants(with(1), count);
  variants.molality(1, sodium);
  std::vector<double> ph(count);
  solve_many(variants, ph);
  for (std::size_t i = 0; i < count; ++i) CHECK(std::abs(ph[i] - with(sodium[i]).ph().value()) < 1e-9);
}

TEST_CASE("held reserves that dissolve one another without end are bad input in a variant, too") {
  NeutralForm held;
  held.solubility = 100;
  held.held = true;
  const Protolyte acid(0, {{2}}, "acid"), base(1, {{9}}, "base");
  const std::vector<Amount> amounts{{acid, mol_per_kg(0), held}, {base, mol_per_kg(0.01)}};
  const auto pK = evenly(2, -40, 8);
  for (const auto* kernel : test::all_ways()) {
    Variants variants{Solution(amounts), 8};
    variants.pK(0, 0, pK);
    const Answers found(kernel, variants);
    CAPTURE(test::name_of(kernel));
    for (std::size_t i = 0; i < 8; ++i) {
      std::vector<Amount> one{{Protolyte(0, {{pK[i]}}, "acid"), mol_per_kg(0), held}, amounts[1]};
      bool is_bad = false;
      try {
        const double ph = Solution(one).ph().value();
        CHECK(std::abs(ph - found.ph[i]) < 1e-9);
      } catch (const BadInput&) {
        is_bad = true;
      }
      CHECK(found.status[i] == (is_bad ? Status::bad_input : Status::solved));
    }
  }
}

TEST_CASE("this processor's lanes have a name") {
  MESSAGE(std::string(lanes_in_use()));
  const std::vector<std::string_view> names{"avx512", "avx2", "baseline", "none"};
  CHECK(std::find(names.begin(), names.end(), lanes_in_use()) != names.end());
}
