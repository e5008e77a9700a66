// SPDX-License-Identifier: MIT
// Mixtures nobody would make, each from its own number, so that any one can be had again.
#pragma once

#include <counterion/chemistry/solution.hpp>

#include <cstdint>
#include <vector>

namespace test {

/// Dice that fall alike on every platform. Steele, Lea and Flood, OOPSLA 2014 (SplitMix64).
class Dice {
 public:
  explicit Dice(std::uint64_t number) : state_(number) { state_ = next() ^ (number << 32); }
  std::uint64_t next();
  double between(double low, double high);
  int whole(int low, int high);  ///< both ends can fall
  bool chance(double probability) { return between(0, 1) < probability; }

 private:
  std::uint64_t state_;
};

/// A composition and its conditions.
struct RandomMixture {
  std::vector<counterion::Amount> amounts;
  counterion::Conditions conditions;
};

/// Up to 8 protolytes of 1 to 20 steps and charges up to ±12, ions and humectants (to 40 mol/kg),
/// 1e-12 to 10 mol/kg or nothing, 0 to 80 °C, any activity model, pure water included.
RandomMixture random_mixture(Dice& dice);

/// Whether every ladder is in order and no form carries more than four charges. Beyond that the
/// ionic strength that an ionisation makes can drive the ionisation on, and one composition then
/// has several self-consistent answers.
bool is_tame(const std::vector<counterion::Amount>& amounts);

/// Whether one of the forms has no charge.
bool has_neutral_form(const counterion::Protolyte& protolyte);

/// Random mixtures of up to four charges, with names, neutral forms and polymers.
std::vector<counterion::Amount> random_batch(Dice& dice);

/// A strong base or acid, a protolyte or a salt of one, as such or as a stock solution.
counterion::Additive random_additive(Dice& dice);

}  // namespace test
