// SPDX-License-Identifier: MIT
// Virtual batches whose truth is another one than the library's: another activity model, every pK
// off by up to 0.15, contents and residues drawn from the tables' ±, an unlisted buffer or a hidden
// acid or alkali. Assumptions of the bench: scale 0.01 g, meter noise 0.02 (standard deviation),
// meter bias up to 0.05 for the whole batch, stock strength off by 1 % (standard deviation),
// readings shown to 0.01.
#pragma once

#include <counterion/batch/calibrate.hpp>

#include <map>
#include <random>
#include <string>

namespace virtual_batch {

inline constexpr double scale_g = 0.01, meter_bias = 0.05, meter_noise = 0.02, pK_off = 0.15;

using Random = std::mt19937_64;
double uniform(Random& random, double low, double high);
double normal(Random& random);

/// A batch as it really is.
class Truth {
 public:
  Truth(counterion::Formula formula, std::uint64_t seed, bool from_the_model);
  /// The same batch had this been weighed: what is not sure of it stays what it is.
  void weigh(counterion::Formula formula) { formula_ = std::move(formula); }
  void read_at(double celsius) { conditions_.temperature = counterion::celsius(celsius); }
  void add_carbonate(double mol_per_kg_water) { carbonate_ += mol_per_kg_water; }
  void add_charge(double mol_per_kg_water) { charge_ += mol_per_kg_water; }
  /// What nobody knows of is in so much less of the water's amount, a slurry's.
  void thin(double share) { hidden_share_ *= share; }
  /// The pH with everything that was weighed in; 0 where it has no water phase.
  double ph(std::vector<counterion::Portion> added);

 private:
  double deviate(const counterion::Driver& driver, const counterion::WaterPhase& phase);
  double drawn(const counterion::Driver& driver);
  bool is_shifted_pK(const counterion::Driver& driver) const;

  counterion::Formula formula_;
  Random random_;
  bool from_the_model_;
  counterion::Conditions conditions_;
  bool hidden_buffer_ = false;
  double buffer_pK_ = 7, buffer_ = 0, hidden_charge_ = 0, stock_ = 1, model_off_ = 0;
  double carbonate_ = 0, charge_ = 0, hidden_share_ = 1;
  std::map<std::string, double> drawn_;  ///< deviates, of a pK its shift
};

/// A bench: what it shows of a true pH, and what it weighs.
class MakersBench {
 public:
  explicit MakersBench(std::uint64_t seed)
      : random_(seed), bias_(uniform(random_, -meter_bias, meter_bias)) {}
  double read(double ph);
  double weigh(double grams);

 private:
  Random random_;
  double bias_;
};

}  // namespace virtual_batch
