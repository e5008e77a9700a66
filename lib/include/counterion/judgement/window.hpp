// SPDX-License-Identifier: MIT
// The pH that every ingredient of a formula tolerates, and what sets each edge.
#pragma once

#include <counterion/batch/prediction.hpp>
#include <counterion/judgement/interval.hpp>

namespace counterion {

/// A working range in use: of an ingredient, a class, or the kind of product.
struct WorkingRange {
  std::optional<std::size_t> item;  ///< line of the formula; none for the product itself
  std::string name;                 ///< as people read it
  std::string kind;                 ///< stability, irritation, preservation, skin, …
  bool hard = true;                 ///< makes the window; soft ranges only pull the target
  std::optional<double> minimum, ideal_low, ideal_high, maximum;
  std::string why;
  std::string condition;
  std::string source;
  std::string row_id;
  Interval interval() const {
    Interval span;
    if (minimum) span.low = *minimum;
    if (maximum) span.high = *maximum;
    return span;
  }
};

/// Two working ranges that no pH satisfies together.
struct Conflict {
  std::size_t a = 0;  ///< index into the window's ranges: the one that ends lower
  std::size_t b = 0;  ///< the one that begins higher
  double gap = 0;     ///< pH units between them
};

/// The feasible window of pH. Indices point into `ranges`.
struct Window {
  bool feasible = false;
  double low = 0, high = 14;            ///< meaningful when feasible
  std::optional<double> target;         ///< where it is best to aim; none when not feasible
  std::vector<std::size_t> low_bound_by, high_bound_by;
  std::vector<std::size_t> next_low, next_high;  ///< what would bind if those were gone
  std::vector<Conflict> conflicts;      ///< widest gap first; empty when feasible
  Cover least_removal;                  ///< over the hard ranges; left_out indexes `ranges`
  std::vector<WorkingRange> ranges;

  /// How well all ranges like a pH, 0 to 1: the geometric mean of their desirabilities.
  double desirability(double ph) const;
};

/// Options that decide which rows apply.
struct Judging {
  std::string jurisdiction;  ///< EU, US, Canada, …; empty applies every market's rows
};

/// The ranges that apply to a formula, a preservative's edge computed from its dose where its least
/// active amount is known.
std::vector<WorkingRange> working_ranges(const Formula& formula, const WaterPhase* phase,
                                         const Prediction* prediction, const Tables& tables,
                                         const Judging& judging);

/// Intersects the hard ranges, names the conflicts when they do not meet, and chooses the target:
/// highest geometric mean of desirabilities (Derringer and Suich, J. Qual. Technol. 12, 214 (1980)),
/// kept off the edges, and among equals nearest to `predicted` so that least is added.
Window window_of(std::vector<WorkingRange> ranges, std::optional<double> predicted);

}  // namespace counterion
