// SPDX-License-Identifier: MIT
#include <counterion/chemistry/solution.hpp>

#include <fmt/format.h>

#include <limits>

#include "dosing_input.hpp"

namespace counterion {
namespace {

using chemistry::Mixture;

std::string name_of(const Amount& amount, std::size_t position) {
  const auto name = std::visit([](const auto& what) -> std::string_view {
    if constexpr (requires { what.name(); }) return what.name();
    else if constexpr (requires { what.name; }) return what.name;
    else return {};
  }, amount.what);
  return name.empty() ? fmt::format("component {}", position) : fmt::format("'{}'", name);
}

template <class Say>
void add_polymer_faults(const Amount& amount, const Say& say) {
  const auto* polymer = std::get_if<AcidPolymer>(&amount.what);
  if (polymer == nullptr) return;
  if (!(std::abs(polymer->pK0) <= chemistry::most_pK)) say(fmt::format(" has pK {}", polymer->pK0), "-60 to 60");
  if (!(polymer->spacing_angstrom >= 0.5 && polymer->spacing_angstrom <= 100))
    say(fmt::format(" has sites {} Å apart", polymer->spacing_angstrom), "0.5 to 100 Å");
  if (!(polymer->ion_size_angstrom >= 0 && polymer->ion_size_angstrom <= 100))
    say(" has an ion size that is no length", "0 to 100 Å");
}

bool has_neutral_form(const Amount& amount) {
  const auto* protolyte = std::get_if<Protolyte>(&amount.what);
  if (protolyte == nullptr) return false;
  const int first = protolyte->charge_fully_protonated();
  return first >= 0 && first <= static_cast<int>(protolyte->steps().size());
}

template <class Say>
void add_neutral_faults(const Amount& amount, const Say& say) {
  const NeutralForm& neutral = amount.neutral;
  if (neutral == NeutralForm{}) return;
  if (!has_neutral_form(amount))
    say(" has no neutral form that could leave the water", "a protolyte with a form of charge 0");
  const auto is_ratio = [](double value) { return value >= 0 && value <= 1e6; };
  if (!is_ratio(neutral.elsewhere) || !is_ratio(neutral.paired) || !is_ratio(neutral.converted))
    say(" has a neutral form with a ratio that is none", "0 to 1000000");
  if (!(neutral.solubility >= 0) || (neutral.held && !(neutral.solubility <= 1e3)))
    say(fmt::format(" has the solubility {} mol/kg", neutral.solubility),
        neutral.held ? "0 to 1000, since it is held there" : "0 or more");
}

/// The same named protolyte whose neutral form has a limit: that is one for all of it.
bool is_listed_before(std::span<const Amount> amounts, std::size_t i) {
  const auto* protolyte = std::get_if<Protolyte>(&amounts[i].what);
  if (!protolyte || protolyte->name().empty() || !amounts[i].neutral.is_limited()) return false;
  return std::any_of(amounts.begin(), amounts.begin() + static_cast<std::ptrdiff_t>(i),
                     [&](const Amount& other) { return other.what == amounts[i].what; });
}

std::vector<Problem> faults_of(std::span<const Amount> amounts) {
  std::vector<Problem> problems;
  for (std::size_t i = 0; i < amounts.size(); ++i) {
    const auto say = [&](std::string found, std::string expected) {
      problems.push_back({{}, name_of(amounts[i], i) + std::move(found), std::move(expected), {}});
    };
    const double m = in_mol_per_kg(amounts[i].molality);
    if (!(m >= 0 && m <= chemistry::most_molality))
      say(fmt::format(" has the amount {} mol/kg", m), "a finite number, 0 to 1000000");
    const auto* ion = std::get_if<StrongIon>(&amounts[i].what);
    if (ion && std::abs(ion->charge) > 60)
      say(fmt::format(" has charge {}", ion->charge), "a charge from -60 to 60");
    if (ion && !(ion->ion_size_angstrom >= 0 && std::isfinite(ion->ion_size_angstrom)))
      say(" has an ion size that is no length", "0 or more");
    add_neutral_faults(amounts[i], say);
    if (is_listed_before(amounts, i)) say(" comes twice, with one ceiling for both", "its whole amount on one line");
    add_polymer_faults(amounts[i], say);
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

std::vector<Problem> held_without_end(std::span<const Amount> amounts) {
  std::vector<Problem> problems;
  for (std::size_t i = 0; i < amounts.size(); ++i)
    if (amounts[i].neutral.held)
      problems.push_back({{}, name_of(amounts[i], i) + " is held, and dissolves without end",
                          "a reserve that comes to an end, or weaker acids and bases", {}});
  return problems;
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

void add_inert(Mixture& mixture, const StrongIon& ion, double molality) {
  mixture.add_ion(ion.charge, molality, ion.name);
}

}  // namespace

chemistry::Mixture mixture_of(std::span<const Amount> amounts, double kelvin) {
  if (auto problems = faults_of(amounts); !problems.empty()) throw BadInput(std::move(problems));
  Mixture mixture;
  for (const auto& amount : amounts) {
    const double m = in_mol_per_kg(amount.molality);
    if (const auto* protolyte = std::get_if<Protolyte>(&amount.what))
      mixture.protolytes.push_back({m, chemistry::Ladder(*protolyte, kelvin), amount.neutral});
    else if (const auto* polymer = std::get_if<AcidPolymer>(&amount.what))
      mixture.polymers.push_back({m, *polymer});
    else
      add_inert(mixture, std::get<StrongIon>(amount.what), m);
  }
  return mixture;
}

chemistry::ModelChoice model_choice(const Conditions& conditions) {
  return {conditions.activity,
          conditions.water.value_or(chemistry::water_at(in_celsius(conditions.temperature))),
          in_mol_per_kg(conditions.davies_held_beyond), conditions.interactions.get()};
}

Solution::Solution(std::span<const Amount> amounts, const Conditions& conditions,
                   Molality strong_charge)
    : conditions_(conditions), amounts_(amounts.begin(), amounts.end()), strong_charge_(strong_charge) {
  std::vector<Problem> problems = faults_of(amounts);
  check_conditions(conditions, problems);
  const double strong = in_mol_per_kg(strong_charge);
  if (!(std::abs(strong) <= chemistry::most_molality))
    problems.push_back({{}, fmt::format("the strong charge is {} mol/kg", strong), "a finite number", {}});
  if (!problems.empty()) throw BadInput(std::move(problems));

  mixture_ = mixture_of(amounts_, in_celsius(conditions.temperature) + ice_point_kelvin);
  mixture_.add_strong_charge(strong);
  solve_all();
  if (root_.u * root_.u > chemistry::most_ionic_strength)
    if (problems = held_without_end(amounts_); !problems.empty()) throw BadInput(std::move(problems));
}

void Solution::solve_all() {
  const auto choice = model_choice(conditions_);
  water_ = choice.water;
  chemistry::with_model(choice, [this](const auto& model) {
    const auto settled = chemistry::settle(mixture_, water_, model);
    root_ = settled.root;
    const double h = std::exp(root_.x);
    const auto gamma = settled.model.at(root_.u);
    for (std::size_t i = 0; i < amounts_.size(); ++i) {
      const std::size_t place = place_among_its_kind(i);
      free_neutral_.push_back(0);
      if (std::holds_alternative<StrongIon>(amounts_[i].what)) {
        shares_.push_back({1.0});
      } else if (std::holds_alternative<Protolyte>(amounts_[i].what)) {
        const auto& part = settled.mixture.protolytes[place];
        shares_.push_back(chemistry::shares(part.ladder, h, gamma));
        free_neutral_.back() = chemistry::contribution(part, h, gamma).free_neutral;
      } else {
        const AcidPolymer& polymer = mixture_.polymers[place].polymer;
        const double ionised = chemistry::ionisation(polymer, root_.x, root_.u, water_).ionised;
        shares_.push_back({1 - ionised, ionised});
      }
    }
    if constexpr (std::is_same_v<std::decay_t<decltype(model)>, chemistry::SpecificIonModel>)
      buffer_capacity_ = 1 / by_strong_charge().ph;
    else
      buffer_capacity_ = chemistry::buffer_capacity(
          balance(mixture_, chemistry::Solvent(water_, mixture_), h, gamma), root_.u);
  });
}

std::size_t Solution::place_among_its_kind(std::size_t position) const {
  std::size_t before = 0;
  for (std::size_t i = 0; i < position; ++i)
    before += amounts_[i].what.index() == amounts_[position].what.index() ? 1 : 0;
  return before;
}

Validity validity_at(Molality ionic_strength, Activity activity) {
  const double I = in_mol_per_kg(ionic_strength);
  if (activity == Activity::ideal)
    return {I <= 0.001, I <= 0.001 ? "" : "activities are taken as molalities"};
  const double limit = activity == Activity::extended_debye_huckel ? 0.1
                       : activity == Activity::specific_ion        ? 3.5
                                                                   : chemistry::davies_limit;
  if (I <= limit) return {};
  return {false, fmt::format("ionic strength {:.2g} mol/kg is beyond {} mol/kg, the range of the "
                             "activity model",
                             I, limit)};
}

std::optional<double> Solution::dose(const Mixture& base, const chemistry::Addition& addition,
                                     pH target, double most) const {
  require_targets({&target, 1});
  const double h = std::pow(10.0, -target.value());
  return chemistry::with_model(model_choice(conditions_), [&](const auto& model) {
    return chemistry::amount_holding(h, base, addition, water_, model, most);
  });
}

Molality Solution::strong_charge_for(pH target) const {
  const int likely = target > ph() ? 1 : -1;  // the other one where coefficients far out of range turn the pH
  for (const int sign : {likely, -likely}) {
    chemistry::Addition ion;
    ion.brings.add_strong_charge(sign);
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
  base.add_strong_charge(mixture_.strong_charge - listed.strong_charge);
  const auto amount = dose(base, {mixture_of({&one, 1}, kelvin), 0}, target, 1e6);
  if (!amount) return std::nullopt;
  return mol_per_kg(*amount);
}

void require_targets(std::span<const pH> targets) {
  std::vector<Problem> problems;
  for (const pH target : targets)
    if (!(target.value() >= -10 && target.value() <= 24))
      problems.push_back({{}, fmt::format("the target is pH {}", target.value()), "-10 to 24", {}});
  if (!problems.empty()) throw BadInput(std::move(problems));
}

chemistry::Addition addition_of(const Additive& additive, const Conditions& conditions, double& most) {
  require_dosable(additive, most);
  const double kelvin = in_celsius(conditions.temperature) + ice_point_kelvin;
  chemistry::Addition addition{mixture_of(additive.brings, kelvin), in_grams(additive.water) / 1000};
  if (addition.water_kg < 0) most = std::min(most, -0.99 / addition.water_kg);
  return addition;
}

Dose dose_for(const Solution& solution, const Additive& additive, pH target, double most) {
  const auto addition = addition_of(additive, solution.conditions_, most);
  const auto amount = solution.dose(solution.mixture_, addition, target, most);
  const Mixture end = chemistry::with_addition(solution.mixture_, addition, most);
  const double x = chemistry::with_model(model_choice(solution.conditions_), [&](const auto& model) {
    return chemistry::solve(end, solution.water_, model).x;
  });
  return {amount, pH(-x / chemistry::ln10)};
}

}  // namespace counterion
