// SPDX-License-Identifier: MIT
// What must hold for every mixture, tried on random ones. COUNTERION_MIXTURES sets how many,
// COUNTERION_FIRST_MIXTURE where they begin (both whole numbers).
#include "random_mixture.hpp"
#include "rows.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cstdlib>
#include <numeric>

using namespace counterion;

namespace {

using Real = long double;

std::uint64_t number_from(const char* variable, std::uint64_t otherwise) {
  const char* text = std::getenv(variable);
  return text == nullptr ? otherwise : std::strtoull(text, nullptr, 10);
}

/// Natural logarithm of the activity coefficient, written once more and independently.
Real ln_gamma(const Solution& solution, int z, double size) {
  const Real I = in_mol_per_kg(solution.ionic_strength()), ten = std::log(Real(10));
  const Real A = solution.water().debye_huckel_A * ten, B = solution.water().debye_huckel_B;
  const Real u = std::sqrt(I), v = std::sqrt(std::min(I, Real(0.5)));
  switch (solution.conditions().activity) {
    case Activity::ideal:
      return 0;
    case Activity::davies:
      return -A * z * z * (v / (1 + v) - Real(0.3) * v * v);
    case Activity::extended_debye_huckel:
      return -A * z * z * u / (1 + size * B * u);
    case Activity::specific_ion:
      break;  // its coefficients are no function of charge and ionic strength
  }
  return 0;
}

/// Shares of the forms from their free energies, with nothing saved.
std::vector<Real> shares_again(const Solution& solution, const Protolyte& protolyte) {
  const Real ten = std::log(Real(10)), ln_h = -ten * solution.ph().value();
  const double kelvin = in_celsius(solution.conditions().temperature) + ice_point_kelvin;
  std::vector<Real> ln_weight{
      -ln_gamma(solution, protolyte.charge_fully_protonated(), protolyte.ion_size_angstrom(0))};
  Real ln_K = 0;
  for (std::size_t j = 1; j <= protolyte.steps().size(); ++j) {
    const int z = protolyte.charge_fully_protonated() - static_cast<int>(j);
    ln_K -= ten * chemistry::pK_at(protolyte.steps()[j - 1], kelvin);
    ln_weight.push_back(ln_K - static_cast<Real>(j) * ln_h -
                        ln_gamma(solution, z, protolyte.ion_size_angstrom(j)));
  }
  const Real top = *std::max_element(ln_weight.begin(), ln_weight.end());
  Real sum = 0;
  for (Real& weight : ln_weight) sum += weight = std::exp(weight - top);
  for (Real& weight : ln_weight) weight /= sum;
  return ln_weight;
}

/// Charge and ionic strength counted again, form by form.
struct Count {
  Real charge = 0, ionic = 0, solutes = 0, scale = 1e-7L;

  void add(int z, Real molality) {
    charge += z * molality;
    ionic += Real(0.5) * z * z * molality;
    scale += std::abs(z * molality);
  }
  explicit Count(const Solution& solution, std::span<const Amount> amounts) {
    for (const auto& amount : amounts) {
      const Real m = in_mol_per_kg(amount.molality);
      solutes += m;
      if (const auto* ion = std::get_if<StrongIon>(&amount.what)) {
        add(ion->charge, m);
        continue;
      }
      const auto& protolyte = std::get<Protolyte>(amount.what);
      int z = protolyte.charge_fully_protonated();
      for (const Real share : shares_again(solution, protolyte)) add(z--, m * share);
    }
    const Real h = std::pow(Real(10), -Real(solution.ph().value()));
    add(1, h / std::exp(ln_gamma(solution, 1, 9)));
    const Real a_w = 1 / (1 + Real(0.018015268) * solutes);
    add(-1, std::pow(Real(10), -Real(solution.water().pKw)) * a_w / h /
                std::exp(ln_gamma(solution, -1, 3.5)));
  }
};

/// The worst of every property, each with the number of its mixture; and how often one did not
/// hold.
struct Worst {
  test::Deviations balance, ionic, share, share_sum, dose, titrant, methods, capacity;
  int failures = 0, tame = 0, doses = 0, no_dose = 0, falling = 0;
};

/// How far rounding of the charges alone can move the pH.
double blur(const Solution& solution, const Count& count) {
  return 4e-16 * static_cast<double>(count.scale) / std::abs(solution.buffer_capacity());
}

void check_balance(const Solution& solution, const Count& count, const std::string& where,
                   Worst& worst) {
  worst.balance.add(static_cast<double>(count.charge / count.scale), where);
  const double I = in_mol_per_kg(solution.ionic_strength());
  worst.ionic.add((static_cast<double>(count.ionic) - I) / (1e-3 + I), where);
}

void check_shares(const Solution& solution, std::span<const Amount> amounts,
                  const std::string& where, Worst& worst) {
  for (std::size_t i = 0; i < amounts.size(); ++i) {
    const auto shares = solution.shares(i);
    worst.share_sum.add(std::accumulate(shares.begin(), shares.end(), -1.0), where);
    const auto* protolyte = std::get_if<Protolyte>(&amounts[i].what);
    if (protolyte == nullptr) continue;
    const auto again = shares_again(solution, *protolyte);
    for (std::size_t j = 0; j < again.size(); ++j)
      worst.share.add(static_cast<double>(shares[j] - again[j]), where);
  }
}

/// What one kilogram of water holds once `amount` units of the additive are in it.
std::vector<Amount> with(std::span<const Amount> amounts, const Additive& additive, double amount) {
  const double water = 1 + amount * in_grams(additive.water) / 1000;
  std::vector<Amount> sum(amounts.begin(), amounts.end());
  for (auto& part : sum) part.molality = mol_per_kg(in_mol_per_kg(part.molality) / water);
  for (auto part : additive.brings) {
    part.molality = mol_per_kg(in_mol_per_kg(part.molality) * amount / water);
    sum.push_back(part);
  }
  return sum;
}

bool lies_between(pH target, pH a, pH b) {
  return std::min(a, b) < target && target < std::max(a, b);
}

void check_dose(const Solution& solution, const test::RandomMixture& mixture, test::Dice& dice,
                const std::string& where, Worst& worst) {
  const Additive additive = test::random_additive(dice);
  if (!test::is_tame(additive.brings)) return;
  const double amount = std::pow(10.0, dice.between(-4, 0.5));
  const pH target = Solution(with(mixture.amounts, additive, amount), mixture.conditions).ph();
  const Dose dose = dose_for(solution, additive, target);
  if (!std::isfinite(dose.reachable_end.value())) ++worst.failures;
  ++worst.doses;
  if (!dose.amount) {
    if (lies_between(target, solution.ph(), dose.reachable_end)) ++worst.no_dose;
    return;
  }
  const auto end = with(mixture.amounts, additive, *dose.amount);
  const Solution again(end, mixture.conditions);
  const double allowed = 5 * blur(again, Count(again, end));
  worst.dose.add(std::max(0.0, std::abs(again.ph().value() - target.value()) - allowed), where);
}

/// dB/dpH from the base side, where strong_charge_for means added base and its ionic strength.
double capacity_by_difference(const Solution& solution, double step) {
  const auto base = [&](int k) {
    return in_mol_per_kg(solution.strong_charge_for(pH(solution.ph().value() + k * step)));
  };
  return (48 * base(1) - 36 * base(2) + 16 * base(3) - 3 * base(4)) / (12 * step);
}

void check_base(const Solution& solution, const test::RandomMixture& mixture, const Count& count,
                const std::string& where, Worst& worst) {
  const double more = 1e-3 * (1e-6 + static_cast<double>(count.scale));
  const Solution after(mixture.amounts, mixture.conditions, mol_per_kg(more));
  if (!(after.ph() > solution.ph()) || !(solution.buffer_capacity() > 0)) {
    ++worst.falling;
    return;
  }
  const double back = in_mol_per_kg(solution.strong_charge_for(after.ph()));
  const double allowed = 1e-14 * static_cast<double>(count.scale);
  worst.titrant.add(std::max(0.0, std::abs(back - more) - allowed) / after.buffer_capacity(),
                    where);
}

void check_capacity(const Solution& solution, const Count& count, const std::string& where,
                    Worst& worst) {
  const double I = in_mol_per_kg(solution.ionic_strength());
  const bool at_the_kink = std::abs(I - chemistry::davies_limit) < 0.05;
  if (solution.conditions().activity == Activity::davies && at_the_kink) return;
  const double step = 5e-4, rounding = blur(solution, count) / step;
  const double relative = capacity_by_difference(solution, step) / solution.buffer_capacity() - 1;
  worst.capacity.add(std::max(0.0, std::abs(relative) - 4 * rounding), where);
}

void check_methods(const Solution& solution, const Count& count, const std::string& where,
                   Worst& worst) {
  const chemistry::Mixture& mixture = solution.mixture();
  const double x = chemistry::with_model(model_choice(solution.conditions()), [&](const auto& model) {
    if constexpr (requires { model.at(0.5); }) {
      const chemistry::Solvent solvent(solution.water(), mixture);
      return chemistry::bracketed_root_of(mixture, solvent, model).x;
    } else {
      return chemistry::solve(mixture, solution.water(), model).x;
    }
  });
  const double deviation = std::abs(-x / chemistry::ln10 - solution.ph().value());
  worst.methods.add(std::max(0.0, deviation - blur(solution, count)), where);
}

/// Far beyond its range the extended equation can fold over even for four charges (3 in 10
/// million).
bool bends_too_much(const Solution& solution) {
  return solution.conditions().activity == Activity::extended_debye_huckel &&
         !solution.validity().within_range;
}

bool is_finite(const Solution& solution) {
  return std::isfinite(solution.ph().value()) && std::isfinite(solution.buffer_capacity()) &&
         std::isfinite(in_mol_per_kg(solution.ionic_strength()));
}

void check(std::uint64_t number, Worst& worst) {
  test::Dice dice(number);
  const auto mixture = test::random_mixture(dice);
  const std::string where = fmt::format("mixture {}", number);
  const Solution solution(mixture.amounts, mixture.conditions);
  if (!is_finite(solution)) ++worst.failures;
  const Count count(solution, mixture.amounts);
  check_balance(solution, count, where, worst);
  check_shares(solution, mixture.amounts, where, worst);
  if (!test::is_tame(mixture.amounts)) return;
  ++worst.tame;
  if (!bends_too_much(solution)) {
    check_base(solution, mixture, count, where, worst);
    check_capacity(solution, count, where, worst);
  }
  check_dose(solution, mixture, dice, where, worst);
  if (number % 20 == 0) check_methods(solution, count, where, worst);
}

Worst worst_of(std::uint64_t first, std::uint64_t count) {
  Worst worst;
  for (std::uint64_t number = first; number < first + count; ++number) {
    try {
      check(number, worst);
    } catch (const std::exception& error) {
      if (++worst.failures < 10) MESSAGE("mixture " << number << ": " << std::string(error.what()));
    }
  }
  return worst;
}

void report(const Worst& worst) {
  MESSAGE("charge over charge scale: " << worst.balance.summary());
  MESSAGE("ionic strength: " << worst.ionic.summary());
  MESSAGE("shares: " << worst.share.summary());
  MESSAGE("sum of shares less one: " << worst.share_sum.summary());
  MESSAGE("tame mixtures " << worst.tame << ", doses " << worst.doses << ", not found "
                           << worst.no_dose);
  MESSAGE("pH after the dose: " << worst.dose.summary());
  MESSAGE("strong charge found again, as pH: " << worst.titrant.summary());
  MESSAGE("buffer capacity against differences, relative: " << worst.capacity.summary());
  MESSAGE("Newton against the bracket, pH: " << worst.methods.summary());
}

}  // namespace

TEST_CASE("random mixtures of every kind are solved, and everything said of them agrees") {
  const Worst worst = worst_of(number_from("COUNTERION_FIRST_MIXTURE", 1),
                               number_from("COUNTERION_MIXTURES", 20000));
  report(worst);
  CHECK(worst.failures == 0);
  CHECK(worst.balance.worst() <= 1e-11);  // the square of the last step
  CHECK(worst.ionic.worst() <= 1e-9);
  CHECK(worst.share.worst() <= 1e-11);
  CHECK(worst.share_sum.worst() <= 1e-14);
  CHECK(worst.falling == 0);
  CHECK(worst.no_dose == 0);
  CHECK(worst.dose.worst() <= 1e-9);
  CHECK(worst.titrant.worst() <= 1e-9);
  CHECK(worst.capacity.worst() <= 1e-6);
  CHECK(worst.methods.worst() <= 1e-9);
}
