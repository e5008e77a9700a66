// SPDX-License-Identifier: MIT
// Random mixtures whose neutral forms leave the water, with polymers, and with specific interactions:
// everything said of them is counted again. COUNTERION_MIXTURES sets how many.
#include "random_mixture.hpp"
#include "rows.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cstdlib>
#include <numeric>

using namespace counterion;

namespace {

std::uint64_t how_many(std::uint64_t otherwise) {
  const char* text = std::getenv("COUNTERION_MIXTURES");
  return text == nullptr ? otherwise : std::strtoull(text, nullptr, 10);
}

/// What the shares and the free neutral form say, counted: charge, and totals of each component.
struct Count {
  double charge = 0, scale = 1e-7;
  test::Deviations totals;

  void add(double charge_of_it) { charge += charge_of_it, scale += std::abs(charge_of_it); }
  void add(const Amount& amount, std::span<const double> shares, double free, const std::string& where) {
    const double molality = in_mol_per_kg(amount.molality);
    if (const auto* ion = std::get_if<StrongIon>(&amount.what)) return add(ion->charge * molality);
    if (std::holds_alternative<AcidPolymer>(amount.what)) return add(-shares[1] * molality);
    const auto& protolyte = std::get<Protolyte>(amount.what);
    const NeutralForm& form = amount.neutral;
    const int first = protolyte.charge_fully_protonated();
    double in_water = molality;
    if (test::has_neutral_form(protolyte)) {
      const double share = shares[static_cast<std::size_t>(first)];
      const bool limited = free >= form.solubility;
      const double per_free = 1 / share + form.elsewhere + form.converted + form.paired * free;
      if (!limited && share > 1e-280)
        totals.add((free * per_free - molality) / (molality + 1e-300), where);
      if (share > 1e-280) in_water = free / share;
    }
    for (std::size_t j = 0; j < shares.size(); ++j)
      add((first - static_cast<int>(j)) * shares[j] * in_water);
  }
};

Count count(const Solution& solution, std::span<const Amount> amounts, double OH, double H,
            const std::string& where) {
  Count all;
  for (std::size_t i = 0; i < amounts.size(); ++i)
    all.add(amounts[i], solution.shares(i), in_mol_per_kg(solution.free_neutral(i)), where);
  all.add(H);
  all.add(-OH);
  return all;
}

struct Worst {
  test::Deviations balance, totals, dose;
  int failures = 0, falling = 0, doses = 0, unanswered = 0;
};

void report(const Worst& worst) {
  MESSAGE("charge over charge scale: " << worst.balance.summary());
  MESSAGE("totals counted again: " << worst.totals.summary());
  MESSAGE("pH after the dose: " << worst.dose.summary() << "; doses " << worst.doses << ", not found "
                                << worst.unanswered << "; reversals " << worst.falling);
}

void check_dose(const std::vector<Amount>& batch, const Conditions& conditions, const Solution& solution,
                test::Dice& dice, const std::string& where, Worst& worst) {
  const double more = std::pow(10.0, dice.between(-4, 0)) * (dice.chance(0.5) ? 1 : -1);
  const Solution after(batch, conditions, mol_per_kg(more));
  if ((after.ph() > solution.ph()) != (more > 0)) {  // a reversal: there is no one amount
    ++worst.falling;
    return;
  }
  const Additive ion{{{more > 0 ? StrongIon{"sodium", 1} : StrongIon{"chloride", -1}, mol_per_kg(1)}}};
  const Dose dose = dose_for(solution, ion, after.ph(), 10);
  ++worst.doses;
  if (!dose.amount) {
    ++worst.unanswered;
    return;
  }
  const Solution again(batch, conditions, mol_per_kg(std::copysign(*dose.amount, more)));
  const double blur = 1e-14 * (again.mixture().charge_scale() + 1) / again.buffer_capacity();
  worst.dose.add(std::max(0.0, std::abs(again.ph().value() - after.ph().value()) - blur), where);
}

}  // namespace

TEST_CASE("random mixtures beside oil, crystals, gases and polymers are solved") {
  Worst worst;
  for (std::uint64_t number = 1; number <= how_many(4000); ++number) {
    test::Dice dice(number);
    const auto batch = test::random_batch(dice);
    const std::string where = fmt::format("mixture {}", number);
    try {
      const Solution solution(batch);
      if (!std::isfinite(solution.ph().value()) || !(solution.buffer_capacity() > 0)) ++worst.failures;
      const chemistry::Davies gamma(solution.water(), std::sqrt(in_mol_per_kg(solution.ionic_strength())),
                                    chemistry::davies_limit);
      const chemistry::WaterIons ions =
          water_ions(chemistry::SolventOf<double>(solution.water(), solution.mixture().solutes()),
                     std::pow(10.0, -solution.ph().value()), gamma);
      const Count again = count(solution, batch, ions.OH, ions.H, where);
      worst.balance.add(again.charge / again.scale, where);
      worst.totals.add(again.totals.worst(), where);
      check_dose(batch, {}, solution, dice, where, worst);
    } catch (const std::exception& error) {
      if (++worst.failures < 10) MESSAGE(where << ": " << std::string(error.what()));
    }
  }
  report(worst);
  CHECK(worst.failures == 0);
  CHECK(worst.balance.worst() <= 1e-11);
  CHECK(worst.totals.worst() <= 1e-11);
  CHECK(worst.falling == 0);
  CHECK(worst.unanswered == 0);
  CHECK(worst.dose.worst() <= 1e-9);
}

namespace {

std::shared_ptr<const Interactions> random_interactions(test::Dice& dice) {
  std::vector<Interaction> all;
  for (int a = 1; a <= 9; ++a)
    for (int b = 1; b <= 9; ++b)
      for (const int up : {1, 2})
        for (const int down : {-1, -2, -3})
          if (dice.chance(0.4))
            all.push_back({{fmt::format("substance-{}", a), up}, {fmt::format("substance-{}", b), down},
                           dice.between(-0.3, 0.3)});
  all.push_back({hydrogen_ion, {"chloride", -1}, 0.12});
  all.push_back({hydroxide_ion, {"sodium", 1}, 0.04});
  return std::make_shared<Interactions>(all);
}

/// Every ion of a solution and its molality, from what it says of itself.
struct IonCount {
  Ion ion;
  double molality;
};

std::vector<IonCount> ions_of(const Solution& solution, std::span<const Amount> amounts) {
  std::vector<IonCount> ions;
  for (std::size_t i = 0; i < amounts.size(); ++i) {
    const double molality = in_mol_per_kg(amounts[i].molality);
    if (const auto* ion = std::get_if<StrongIon>(&amounts[i].what)) {
      ions.push_back({{ion->name, ion->charge}, molality});
      continue;
    }
    const auto& protolyte = std::get<Protolyte>(amounts[i].what);
    int charge = protolyte.charge_fully_protonated();
    for (const double share : solution.shares(i))
      ions.push_back({{protolyte.name(), charge--}, molality * share});
  }
  return ions;
}

/// Logarithm of an ion's coefficient, as the theory has it, written once more.
double ln_gamma(const Ion& ion, const std::vector<IonCount>& all, const Interactions& epsilon, double I,
                double A) {
  double sum = 0, total = 0;
  for (const auto& other : all) {
    sum += epsilon.epsilon(ion, other.ion) * other.molality;
    total += other.ion.charge == 0 ? 0 : other.molality;
  }
  const double u = std::sqrt(I), within = std::min(1.0, chemistry::specific_ion_limit / total);
  return std::log(10.0) * (-A * ion.charge * ion.charge * u / (1 + 1.5 * u) + sum * within);
}

/// Worst deviation of the laws of mass action (natural logarithms), the charge being closed.
double worst_action(const Solution& solution, std::span<const Amount> amounts) {
  const Interactions& epsilon = *solution.conditions().interactions;
  const double I = in_mol_per_kg(solution.ionic_strength()), h = std::pow(10.0, -solution.ph().value());
  const double A = solution.water().debye_huckel_A, a_w = 1 / (1 + 0.018015268 * solution.mixture().solutes());
  auto ions = ions_of(solution, amounts);
  double charge = 0, scale = 0;
  for (const auto& [ion, molality] : ions) charge += ion.charge * molality, scale += std::abs(ion.charge * molality);
  // The scarcer of H+ and OH- follows from its activity, the other from the charge: then the ion product
  // is the law that tells.
  const double Kw = std::pow(10.0, -solution.water().pKw) * a_w;
  const bool alkaline = charge > 0;
  const double scarce_activity = alkaline ? h : Kw / h;
  double scarce = scarce_activity, ample = std::abs(charge) + scarce, action = 0;
  const std::size_t listed = ions.size();
  for (int pass = 0; pass < 200; ++pass) {
    ions.resize(listed);
    ions.push_back({alkaline ? hydrogen_ion : hydroxide_ion, scarce});
    ions.push_back({alkaline ? hydroxide_ion : hydrogen_ion, ample});
    const double of_scarce = ln_gamma(ions[listed].ion, ions, epsilon, I, A);
    scarce = std::sqrt(scarce * scarce_activity / std::exp(of_scarce));
    ample = std::abs(charge) + scarce;
    action = std::log(scarce * ample / Kw) + of_scarce + ln_gamma(ions[listed + 1].ion, ions, epsilon, I, A);
  }
  double worst = std::max(0.0, std::abs(action) - 1e-14 * scale / ample);  // rounding of the charge
  for (std::size_t i = 0; i < amounts.size(); ++i) {
    const auto* protolyte = std::get_if<Protolyte>(&amounts[i].what);
    for (std::size_t j = 0; protolyte && j < protolyte->steps().size(); ++j) {
      const double acid = solution.shares(i)[j], base = solution.shares(i)[j + 1];
      if (acid < 1e-12 || base < 1e-12) continue;
      const int z = protolyte->charge_fully_protonated() - static_cast<int>(j);
      const double ln_K = -std::log(10.0) * protolyte->steps()[j].pK;
      const double found = std::log(h * base / acid) +
                           ln_gamma({protolyte->name(), z - 1}, ions, epsilon, I, A) -
                           ln_gamma({protolyte->name(), z}, ions, epsilon, I, A);
      worst = std::max(worst, std::abs(found - ln_K));
    }
  }
  return worst;
}

}  // namespace

TEST_CASE("random mixtures with specific interactions are solved, each law of mass action holding") {
  Worst worst;
  test::Deviations action;
  for (std::uint64_t number = 1; number <= how_many(4000) / 4; ++number) {
    test::Dice dice(number);
    auto batch = test::random_batch(dice);
    std::erase_if(batch, [](const Amount& amount) {
      return amount.neutral.held || std::holds_alternative<AcidPolymer>(amount.what);
    });
    for (auto& amount : batch) amount.neutral = {};
    Conditions conditions{.activity = Activity::specific_ion};
    conditions.interactions = random_interactions(dice);
    const std::string where = fmt::format("mixture {}", number);
    try {
      const Solution solution(batch, conditions);
      if (!std::isfinite(solution.ph().value())) ++worst.failures;
      action.add(worst_action(solution, batch), where);
      if (number % 4 == 0 && solution.validity().within_range) check_dose(batch, conditions, solution, dice, where, worst);
    } catch (const std::exception& error) {
      if (++worst.failures < 10) MESSAGE(where << ": " << std::string(error.what()));
    }
  }
  report(worst);
  MESSAGE("laws of mass action, ln: " << action.summary());
  CHECK(worst.failures == 0);
  CHECK(action.worst() <= 1e-9);
  // Coefficients drawn at random can turn the pH back as base is added: 3 of 60 000 did, none of real ones.
  CHECK(worst.falling <= 1);
  CHECK(worst.unanswered == 0);
  CHECK(worst.dose.worst() <= 1e-9);
}
