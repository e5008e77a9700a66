// SPDX-License-Identifier: MIT
// The lines of a formula that each mishap may have met.
#pragma once

#include <counterion/batch/water_phase.hpp>

namespace counterion {

/// How a pack may be taken for another.
enum class Confusion { salt_or_acid, hydrate, grade };

class Suspects {
 public:
  Suspects(const Formula& formula, const Tables& tables);

  /// Lines with something of them that is not water.
  const std::vector<std::size_t>& lines() const { return lines_; }
  /// Those of them that are solids as bought.
  std::vector<std::size_t> powders() const;
  std::vector<std::size_t> volatiles() const;
  std::vector<std::size_t> polymers() const;
  /// Lines whose acidity or alkalinity is not sure, with the 90 % half width, mol/kg of water.
  std::vector<std::pair<std::size_t, double>> residues(const Conditions& conditions) const;

  /// Materials that may have been taken in place of a line's.
  std::vector<std::string> others(std::size_t item, Confusion confusion) const;

  std::string name(std::size_t item) const;
  double percent(std::size_t item) const { return formula_.items[item].percent; }
  double grams(std::size_t item) const { return percent(item) / 100 * formula_.batch_g; }
  /// Mass fraction of what is not water in a line's material, 0 to 1.
  double strength(std::size_t item) const;
  double oil_and_alcohol_percent() const;
  /// Whether a material of the formula reacts while it is kept.
  bool changes() const;

 private:
  bool is_function(std::size_t item, std::string_view function) const;

  const Formula& formula_;
  const Tables& tables_;
  std::vector<std::size_t> lines_;
};

}  // namespace counterion
