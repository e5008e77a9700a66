// SPDX-License-Identifier: MIT
// A formula's water phase in the chemistry floor's terms, and everything in it that is not sure.
#pragma once

#include <counterion/batch/surroundings.hpp>

#include <optional>

namespace counterion {

/// What an uncertain quantity is.
enum class DriverKind {
  content,
  constant,
  residual_charge,
  carbon_dioxide,
  partition,
  polymer_constant,
  solubility,
  portion,          ///< how much of a line is really there: weighing, strength of a stock; relative
  unlisted_charge,  ///< acid or alkali that no line accounts for
  unlisted_buffer,  ///< buffering that no line accounts for
  activity_model,   ///< pH units by which the model's pH is off: all pK move with it
  progress,         ///< how far a slow reaction has gone beyond its middle, mol/kg water
  meter             ///< pH units by which all readings are off; moves no charge
};

/// One uncertain quantity of a water phase; its interval is in its own unit.
struct Driver {
  DriverKind kind = DriverKind::content;
  std::optional<std::size_t> item;  ///< line of the formula; none for constants and air
  std::string what;                 ///< in words
  std::string source;               ///< key in sources
  std::string row_id;
  std::size_t subject = 0;  ///< part (content, progress), polymer, or else the protolyte that it moves
  std::size_t step = 0;     ///< pK step (constant), which of a material's reactions (progress)
  double tied_charge = 0;   ///< content, unlisted buffer: strong charge per mole that comes along with it
  bool guessed = false;     ///< acidity or alkalinity: nobody has declared or measured it
  double low = 0, high = 0; ///< deviations from the middle: mol/kg water, pK units, mol/kg (H2CO3, solubility), decades, pH, shares
};

/// The water phase of a formula, per kilogram of its water.
struct WaterPhase {
  /// A component of a line by the moles weighed in, and what a mole of it is in the water: once a slow reaction has
  /// gone on, partly what it turned into. A reaction whose progress is not sure has a part of its own, of no moles.
  struct Part {
    std::size_t item = 0;
    double molality = 0;
    double strong_charge_per_mol = 0;
    std::vector<std::pair<std::size_t, double>> protolytes;  ///< index, mol per mol
    std::vector<std::pair<std::size_t, double>> polymers;    ///< index, mol of sites per mol
    const tables::Substance* component = nullptr;            ///< as it was weighed in
  };
  double water_percent = 0;  ///< of the formula
  std::vector<const tables::Substance*> substances;  ///< of the mixture's protolytes, in order
  std::vector<Protolyte> protolytes;
  std::vector<const tables::Substance*> polymer_substances;  ///< of the mixture's polymers, in order
  std::vector<Part> parts;
  Surroundings surroundings;
  std::vector<double> residual_mol_per_kg;  ///< one an item
  std::vector<Driver> drivers;
  /// What readings have taught: each row a direction of the drivers (in units of their intervals) that is known.
  std::vector<std::vector<double>> learned;
  chemistry::Mixture mixture;
  Protolyte carbonic_acid;
  Conditions conditions;
  Water water;

  /// Index of a protolyte by its substance id; empty when the phase has none.
  std::optional<std::size_t> protolyte(std::string_view substance) const;
};

/// The least water, percent of the formula, for which a pH means anything.
inline constexpr double least_water_percent = 5;

/// Whether a phase knows what of it is not sure.
enum class Sureness { known, left_aside };

/// What a common bench scale resolves.
inline constexpr double usual_scale_g = 0.01;

/// Builds the water phase; empty when there is less water than `least_water_percent`. With its sureness
/// left aside it has no drivers: enough for a pH without an interval. `scale_g`: what the scale resolves.
std::optional<WaterPhase> water_phase_of(const Formula& formula, const Tables& tables,
                                         const Conditions& conditions = {}, Sureness sureness = Sureness::known,
                                         double scale_g = usual_scale_g);

/// Adds to what is not sure of a phase the acid or alkali that no line of a whole product accounts for (levels of
/// `batch`, unlisted-charge), for each gram that is neither water nor oil.
void add_unlisted_charge(WaterPhase& phase, const Formula& formula, const Tables& tables);

/// What one gram of a material, as an addition to a water phase, does to it per kg of its water.
chemistry::Addition addition_of(const Material& material, const WaterPhase& phase, const Tables& tables);

/// The group of a whole pK (2 to 12) among a phase's protolytes, with nothing of it where it was not there yet.
std::size_t buffer_group_in(WaterPhase& phase, int pK, const Tables& tables);

/// The place of a substance among a phase's protolytes, with nothing of it where it was not there yet; `most` mol per
/// kg of water of it may come, and what the water cannot hold of that is bounded.
std::size_t place_of_protolyte(WaterPhase& phase, const tables::Substance& substance, double most, const Tables& tables);

/// Interaction coefficients of the tables (rank 1), for the specific-ion model.
std::shared_ptr<const Interactions> interactions_of(const Tables& tables);

}  // namespace counterion
