// SPDX-License-Identifier: MIT
// The pH a formula will have, how sure that is, and what decides both.
#pragma once

#include <counterion/batch/water_phase.hpp>

#include <array>

namespace counterion {

/// What an uncertain quantity does to the predicted pH.
struct DriverEffect {
  std::optional<std::size_t> item;
  std::string what;
  std::string source;
  std::string row_id;
  double ph_low = 0, ph_high = 0;  ///< pH with this quantity alone at the ends of its interval
};

/// A substance whose neutral form the water cannot hold all of: the rest is crystals or drops.
struct Saturated {
  std::string substance;     ///< id
  std::string name;
  double percent_out = 0;    ///< percent of the formula that is not dissolved
  double percent_held = 0;   ///< percent of the formula that the water holds in the neutral form
};

/// A predicted pH with its 90 % interval; the interval is where the tables' ± put it.
struct Prediction {
  double ph = 0;
  double p05 = 0, p95 = 0;
  double model_below = 0, model_above = 0;  ///< how far real solutions may read beside the activity model
  double buffer_capacity = 0;          ///< mol strong base per kg of water and pH
  double ionic_strength = 0;           ///< mol/kg
  bool activity_within_range = true;
  std::string validity;                ///< why not, when it is not
  double water_percent = 0;
  std::vector<double> charge_meq_per_kg;  ///< each item's charge at this pH, per kg of formula
  std::vector<DriverEffect> drivers;      ///< widest first
  std::vector<Saturated> saturated;       ///< at the predicted pH
};

/// Predicts the pH of a water phase.
///
/// At every pH the tables' ± are first-derivative deviations of the charge balance; the interval's ends
/// are where the balance closes with all of them, added in quadrature, on one side. That stays right
/// where the solution is unbuffered and a deviation of the pH itself would not be linear.
Prediction predict(const WaterPhase& phase, std::size_t most_drivers = 6);

/// The pH alone, without all that is worked out beside it.
double ph_of(const WaterPhase& phase);

/// The pH with ionic strength (mol/kg) and buffer capacity (mol/kg of water and pH), and no more.
struct PhaseState {
  double ph = 0, ionic_strength = 0, buffer_capacity = 0;
};
PhaseState state_of(const WaterPhase& phase);

/// How far the sites of an acid polymer (carbomer) are neutralised, 0 to 1.
struct NeutralisedPolymer {
  std::string substance;  ///< id
  std::string name;
  double at_predicted = 0;
  std::optional<double> at_target;
};
std::vector<NeutralisedPolymer> neutralised_polymers(const WaterPhase& phase, const Prediction& prediction,
                                                     std::optional<double> target);

/// The pH at which this share (0 to 1, ends left out) of the sites of a phase's first acid polymer is neutralised by
/// strong base or acid; empty where it has no polymer, or where no amount does it.
std::optional<double> ph_where_neutralised(const WaterPhase& phase, double share);

/// Half widths of the charge at a pH, mol/kg water: how far the sum of all drivers may lie below and
/// above the middle.
struct ChargeSpread {
  double below = 0, above = 0;
};
ChargeSpread charge_spread_at(const WaterPhase& phase, double ph);

/// The charge that a phase is short of at a pH that is not its own, and what moves it.
struct ChargeAt {
  double charge = 0;           ///< mol/kg of water; rises as the pH falls, nothing at the phase's own pH
  double capacity = 0;         ///< mol/kg of water and pH
  std::vector<double> slopes;  ///< one a driver: what its end of the interval does, mol/kg of water
};
ChargeAt charge_at(const WaterPhase& phase, double ph);

/// The same line by line, and what both ends of every driver do.
struct ChargeByLine : ChargeAt {
  std::vector<double> items;  ///< charge of each line, mol/kg of water
  std::vector<std::array<double, 2>> ends;  ///< one a driver: at the low and the high end of its interval
};
ChargeByLine charge_by_line_at(const WaterPhase& phase, double ph);

}  // namespace counterion
