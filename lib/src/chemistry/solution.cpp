// SPDX-License-Identifier: MIT
#include <counterion/chemistry/solution.hpp>

#include <fmt/format.h>

#include <limits>

namespace counterion {
namespace {

using chemistry::Mixture;

std::string name_of(const Amount& amount, std::size_t position) {
  const auto& name = std::visit([](const auto& what) -> std::string_view {
    if constexpr (std::is_same_v<std::decay_t<decltype(what)>, Protolyte>) return what.name();
    else return what.name;
  }, amount.what);
  return name.empty() ? fmt::format("component {}", position) : fmt::format("'{}'", name);
}

std::vector<Problem> faults_of(std::span<const Amount> amounts) {
  std::vector<Problem> problems;
  for (std::size_t i = 0; i < amounts.size(); ++i) {
    const auto say = [&](std::string found, std::string expected) {
      problems.push_back({{}, name_of(amounts[i], i) + std::move(found), std::move(expected), {}});
    };
    const double m = in_mol_per_kg(amounts[i].molality);
    if (!(m >= 0 && m <= 1e6))
      say(fmt::format(" has the amount {} mol/kg", m), "a finite number, 0 to 1000000");
    const auto* ion = std::get_if<StrongIon>(&amounts[i].what);
    if (ion && std::abs(ion->charge) > 60)
      say(fmt::format(" has charge {}", ion->charge), "a charge from -60 to 60");
    if (ion && !(ion->ion_size_angstrom >= 0 && std::isfinite(ion->ion_size_angstrom)))
      say(" has an ion size that is no length", "0 or more");
  }
  return problems;
}

void check_conditions(const Conditions& conditions, std::vector<Problem>& problems) {
  const double t = in_celsius(conditions.temperature);
  if (!(t >= 0 && t <= 80))
    problems.push_back({{}, fmt::format("the temperature is {} °C", t), "0 to 80 °C", {}});
  const Water water = conditions.water.value_or(Water{});
  const auto within = [&problems](const char* what, double value, double most) {
    if (value >= 0 && value <= most) return;
    problems.push_back({{}, fmt::format("{} is {}", what, value), fmt::format("0 to {}", most), {}});
  };
  within("the solvent's pKw", water.pKw, 60);
  within("the solvent's Debye-Hückel A", water.debye_huckel_A, 10);
  within("the solvent's Debye-Hückel B", water.debye_huckel_B, 10);
  within("the limit of Davies' equation in mol/kg", in_mol_per_kg(conditions.davies_held_beyond),
         std::numeric_limits<double>::infinity());
}

void require_target(pH target) {
  if (target.value() >= -10 && target.value() <= 24) return;  // beyond that the solution is all ions
  throw BadInput({{{}, fmt::format("the target is pH {}", target.value()), "-10 to 24", {}}});
}

void require_dosable(const Additive& additive, double most) {
  std::vector<Problem> problems;
  const double water = in_grams(additive.water);
  if (!std::isfinite(water))
    problems.push_back({{}, fmt::format("the additive has {} g of water", water), "a finite number", {}});
  if (!(most > 0) || !std::isfinite(most))
    problems.push_back({{}, fmt::format("the most to be dosed is {}", most), "more than 0", {}});
  if (!problems.empty()) throw BadInput(std::move(problems));
}

}  // namespace

chemistry::Mixture mixture_of(std::span<const Amount> amounts, double kelvin) {
  if (auto problems = faults_of(amounts); !problems.empty()) throw BadInput(std::move(problems));
  Mixture mixture;
  for (const auto& amount : amounts) {
    const double m = in_mol_per_kg(amount.molality);
    if (const auto* protolyte = std::get_if<Protolyte>(&amount.what))
      mixture.protolytes.push_back({m, chemistry::Ladder(*protolyte, kelvin)});
    else
      mixture.add_ion(std::get<StrongIon>(amount.what).charge, m);
  }
  return mixture;
}

Solution::Solution(std::span<const Amount> amounts, const Conditions& conditions,
                   Molality strong_charge)
    : conditions_(conditions), amounts_(amounts.begin(), amounts.end()) {
  std::vector<Problem> problems = faults_of(amounts);
  check_conditions(conditions, problems);
  const double strong = in_mol_per_kg(strong_charge);
  if (!(std::abs(strong) <= 1e6))
    problems.push_back({{}, fmt::format("the strong charge is {} mol/kg", strong), "a finite number", {}});
  if (!problems.empty()) throw BadInput(std::move(problems));

  const double t = in_celsius(conditions.temperature);
  water_ = conditions.water.value_or(chemistry::water_at(t));
  mixture_ = mixture_of(amounts_, t + ice_point_kelvin);
  mixture_.add_ion(strong < 0 ? -1 : 1, std::abs(strong));

  chemistry::with_model(
      conditions_.activity, water_, in_mol_per_kg(conditions_.davies_held_beyond),
      [this](const auto& model) {
        root_ = chemistry::solve(mixture_, water_, model);
        const double h = std::exp(root_.x);
        const auto gamma = model.at(root_.u);
        const chemistry::Solvent solvent(water_, mixture_.solutes());
        buffer_capacity_ = chemistry::buffer_capacity(balance(mixture_, solvent, h, gamma), root_.u);
        std::size_t next = 0;
        for (const auto& amount : amounts_)
          shares_.push_back(std::holds_alternative<Protolyte>(amount.what)
                                ? chemistry::shares(mixture_.protolytes[next++].ladder, h, gamma)
                                : std::vector<double>{1.0});
      });
}

Validity validity_at(Molality ionic_strength, Activity activity) {
  const double I = in_mol_per_kg(ionic_strength);
  if (activity == Activity::ideal)
    return {I <= 0.001, I <= 0.001 ? "" : "activities are taken as molalities"};
  const double limit =
      activity == Activity::extended_debye_huckel ? 0.1 : chemistry::davies_limit;
  if (I <= limit) return {};
  return {false, fmt::format("ionic strength {:.2g} mol/kg is beyond {} mol/kg, the range of the "
                             "activity model",
                             I, limit)};
}

std::optional<double> Solution::dose(const Mixture& base, const chemistry::Addition& addition,
                                     pH target, double most) const {
  require_target(target);
  const double h = std::pow(10.0, -target.value());
  return chemistry::with_model(
      conditions_.activity, water_, in_mol_per_kg(conditions_.davies_held_beyond),
      [&](const auto& model) {
        return chemistry::DoseSolver(base, addition, water_, model, h, most).amount();
      });
}

Molality Solution::strong_charge_for(pH target) const {
  for (const int sign : {1, -1}) {
    chemistry::Addition ion;
    ion.brings.add_ion(sign, 1);
    if (const auto amount = dose(mixture_, ion, target, 1e6)) return mol_per_kg(sign * *amount);
  }
  throw BadInput({{{}, fmt::format("pH {}", target.value()),
                   "a pH that some amount of strong acid or alkali reaches", {}}});
}

std::optional<Molality> Solution::amount_for(std::size_t position, pH target) const {
  std::vector<Amount> others = amounts_;
  Amount one = others.at(position);
  others.erase(others.begin() + static_cast<std::ptrdiff_t>(position));
  one.molality = mol_per_kg(1);
  const double kelvin = in_celsius(conditions_.temperature) + ice_point_kelvin;
  Mixture base = mixture_of(others, kelvin);
  const Mixture listed = mixture_of(amounts_, kelvin);
  const double strong = mixture_.strong_charge - listed.strong_charge;
  base.add_ion(strong < 0 ? -1 : 1, std::abs(strong));
  const auto amount = dose(base, {mixture_of({&one, 1}, kelvin), 0}, target, 1e6);
  if (!amount) return std::nullopt;
  return mol_per_kg(*amount);
}

Dose dose_for(const Solution& solution, const Additive& additive, pH target, double most) {
  require_dosable(additive, most);
  const double kelvin = in_celsius(solution.conditions_.temperature) + ice_point_kelvin;
  const chemistry::Addition addition{mixture_of(additive.brings, kelvin),
                                     in_grams(additive.water) / 1000};
  if (addition.water_kg < 0) most = std::min(most, -0.99 / addition.water_kg);
  const auto amount = solution.dose(solution.mixture_, addition, target, most);
  const Mixture end = chemistry::with_addition(solution.mixture_, addition, most);
  const double x = chemistry::with_model(
      solution.conditions_.activity, solution.water_,
      in_mol_per_kg(solution.conditions_.davies_held_beyond),
      [&](const auto& model) { return chemistry::solve(end, solution.water_, model).x; });
  return {amount, pH(-x / chemistry::ln10)};
}

}  // namespace counterion
