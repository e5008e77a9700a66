// SPDX-License-Identifier: MIT
// A solution of acids, bases and ions, solved once; the chemistry floor's public face.
#pragma once

#include <counterion/chemistry/dose.hpp>
#include <counterion/quantities.hpp>

#include <memory>
#include <span>
#include <string>
#include <variant>

namespace counterion {

/// A protolyte, an inert ion or an acid polymer (in moles of its sites), its moles per kilogram of water,
/// and where a protolyte's neutral form goes beside the water. A neutral form that is `held` needs no moles;
/// one with a limit stands on one line, since the limit is for all of it.
struct Amount {
  std::variant<Protolyte, StrongIon, AcidPolymer> what;
  Molality molality;
  NeutralForm neutral = {};
};

/// Temperature (0 to 80 °C), activity model, and the solvent's constants where they are not ours.
struct Conditions {
  Temperature temperature = celsius(25);
  Activity activity = Activity::davies;
  std::optional<Water> water = std::nullopt;
  /// Ionic strength beyond which Davies' term stays constant; infinity follows the bare equation.
  Molality davies_held_beyond = mol_per_kg(chemistry::davies_limit);
  /// For `specific_ion`; ions are known by the names of their protolytes and strong ions. None given:
  /// every pair as its charges have it.
  std::shared_ptr<const Interactions> interactions = nullptr;
};

/// The model that the conditions name, with the solvent's constants at their temperature.
chemistry::ModelChoice model_choice(const Conditions& conditions);

/// Whether the activity model is inside the range it was made for, and if not, why.
struct Validity {
  bool within_range = true;
  std::string reason;
};

/// Whether this ionic strength is inside the range of the model.
Validity validity_at(Molality ionic_strength, Activity activity);

/// Something to be dosed, per unit of itself (a mole, or a kilogram of a stock solution).
struct Additive {
  std::vector<Amount> brings;  ///< moles per unit, written as a molality
  Mass water = grams(0);       ///< per unit; negative where it takes the place of water
};

/// First derivatives of a solution's pH and ionic strength (mol/kg), per unit of what is changed.
struct Sensitivity {
  double ph = 0;
  double ionic_strength = 0;
};

/// How much of an additive reaches a pH.
struct Dose {
  std::optional<double> amount;  ///< units of the additive per kg of the solution's water
  pH reachable_end;              ///< where the pH goes with as much of it as was allowed
};

/// An immutable solved solution; safe to use from many threads.
class Solution {
 public:
  /// Solves for the pH. `strong_charge` is shorthand for inert sodium (+) or chloride (-).
  /// Throws BadInput naming every component that is not finite or is negative.
  explicit Solution(std::span<const Amount> amounts, const Conditions& conditions = {},
                    Molality strong_charge = mol_per_kg(0));

  pH ph() const { return pH(-root_.x / chemistry::ln10); }
  Molality ionic_strength() const { return mol_per_kg(root_.u * root_.u); }
  /// Shares of the forms of the component at this position, fully protonated first, sum 1;
  /// a strong ion has one form, a polymer's sites two. They are of what the water holds.
  /// Throws std::out_of_range.
  std::span<const double> shares(std::size_t position) const { return shares_.at(position); }
  /// The neutral form free in the water, mol/kg: without oil, micelles, lactone and crystals; 0 for a
  /// strong ion. Throws std::out_of_range.
  Molality free_neutral(std::size_t position) const { return mol_per_kg(free_neutral_.at(position)); }
  /// Whether the water holds as much of the neutral form as it can. Throws std::out_of_range.
  bool is_saturated(std::size_t position) const {
    return free_neutral_.at(position) >= amounts_.at(position).neutral.solubility;
  }
  /// Moles of strong base per kg of water for one unit of pH (Van Slyke's β). Positive, but for
  /// coefficients far beyond their range (ions of many charges in molar salt), where the pH can turn back.
  double buffer_capacity() const noexcept { return buffer_capacity_; }
  Validity validity() const { return validity_at(ionic_strength(), conditions_.activity); }

  /// Net strong charge (mol/kg; + as sodium, - as chloride) that would have to be added to reach a pH.
  Molality strong_charge_for(pH target) const;
  /// Total molality of the component at this position that alone would put the solution at a pH;
  /// empty when no amount does, or when more of it only lies undissolved. Where several do, one of them.
  /// Throws std::out_of_range.
  std::optional<Molality> amount_for(std::size_t position, pH target) const;

  /// Per mol/kg of the total of the component at this position. Throws std::out_of_range.
  Sensitivity by_amount(std::size_t position) const;
  /// Per unit of a pK, counted from 0 in a protolyte's steps; a polymer's pK0 is its only one.
  /// Throws std::out_of_range.
  Sensitivity by_pK(std::size_t position, std::size_t step) const;
  /// Per mol/kg of strong charge, + as sodium.
  Sensitivity by_strong_charge() const;
  /// Per kelvin; the solvent's constants move along unless they were given.
  Sensitivity by_temperature() const;

  /// As they were given.
  std::span<const Amount> amounts() const noexcept { return amounts_; }
  Molality strong_charge() const noexcept { return strong_charge_; }
  const chemistry::Mixture& mixture() const noexcept { return mixture_; }
  const Water& water() const noexcept { return water_; }
  const Conditions& conditions() const noexcept { return conditions_; }

 private:
  void solve_all();
  /// How many components of the same kind stand before the one at this position.
  std::size_t place_among_its_kind(std::size_t position) const;
  std::optional<double> dose(const chemistry::Mixture& base, const chemistry::Addition& addition,
                             pH target, double most) const;
  friend Dose dose_for(const Solution&, const Additive&, pH, double);

  Conditions conditions_;
  Water water_;
  std::vector<Amount> amounts_;
  Molality strong_charge_;
  chemistry::Mixture mixture_;
  chemistry::Root root_;
  std::vector<std::vector<double>> shares_;
  std::vector<double> free_neutral_;
  double buffer_capacity_ = 0;
};

/// The amount of `additive` that brings the solution to `target`, at most `most` units per kg of its
/// water. An empty amount means that this additive cannot: wrong direction, or its own pH is in the way.
/// Throws BadInput for a target, an amount of water or a `most` that is no number.
Dose dose_for(const Solution& solution, const Additive& additive, pH target, double most = 100);

/// One point of a titration curve; without an amount the additive does not reach this pH.
struct TitrationPoint {
  pH ph;
  std::optional<double> amount;  ///< units of the additive per kg of the solution's water
};

/// The amounts of `additive` that bring the solution to each pH of a grid, in the grid's order.
/// Throws BadInput as `dose_for` does.
std::vector<TitrationPoint> titration_curve(const Solution& solution, const Additive& additive,
                                            std::span<const pH> grid, double most = 100);

/// What these amounts are to the solver; throws BadInput with every fault.
chemistry::Mixture mixture_of(std::span<const Amount> amounts, double kelvin);

}  // namespace counterion
