// SPDX-License-Identifier: MIT
// A formula with acid or alkali weighed into it, still 100 %.
#pragma once

#include <counterion/formula/formula.hpp>

#include <span>
#include <string>
#include <vector>

namespace counterion {

/// An acid or alkali for setting the pH, as a stock: percent by weight of the ingredient in water;
/// 100 means used as supplied.
struct Adjuster {
  std::string ingredient;
  double stock_percent = 100;
  bool operator==(const Adjuster&) const = default;
};

/// What was weighed in of an adjuster.
struct Portion {
  Adjuster adjuster;
  double grams = 0;  ///< of stock
};

/// What the note of a line says that was weighed in to set the pH.
inline constexpr std::string_view adjuster_note = "pH adjuster";

/// The line of a formula's water, the largest where there are several; null when it has none.
const FormulaItem* water_of(const Formula& formula);

/// A formula with an adjuster in it, still 100 %: `percent` is that of stock in the finished
/// formula, which takes the place of water or comes on top of everything.
Formula with_adjuster(const Formula& formula, const Adjuster& adjuster, double percent,
                      bool from_water, const Tables& tables);

/// A formula with all portions in it, each adjuster on one line (its stock water on another) after
/// those of the formula, in the order of their first portions, even where nothing of it was
/// weighed. They take the place of water; where there is not enough they come on top, and the batch
/// grows.
Formula with_portions(const Formula& formula, std::span<const Portion> portions,
                      const Tables& tables);

}  // namespace counterion
