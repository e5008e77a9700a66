// SPDX-License-Identifier: MIT
// The pH that every ingredient of a formula tolerates, and what sets each edge.
#pragma once

#include <counterion/judgement/interval.hpp>
#include <counterion/judgement/preservation.hpp>

namespace counterion {

/// Another source's bounds of the same fact.
struct OtherBounds {
  std::optional<double> minimum, maximum;
  std::string condition;
  std::string source;
  std::string row_id;
};

/// A working range in use: of an ingredient, of several together, or the kind of product.
struct WorkingRange {
  std::vector<std::size_t> items;  ///< lines of the formula; none for the product itself
  std::string name;                ///< as people read it
  std::string kind;                ///< stability, irritation, preservation, skin, …
  bool hard = true;                ///< makes the window; soft ranges only pull the target
  std::optional<double> minimum, ideal_low, ideal_high, maximum;
  std::string why;
  std::string condition;
  std::string source;
  std::string row_id;
  std::vector<OtherBounds> others;  ///< what other sources say of it
  Interval interval() const;
  /// Where every source agrees that it holds; may be empty().
  Interval firm() const;
  /// Where any source says that it holds.
  Interval widest() const;
};

/// Two working ranges that no pH satisfies together.
struct Conflict {
  std::size_t a = 0;  ///< index into the window's ranges: the one that ends lower
  std::size_t b = 0;  ///< the one that begins higher
  double gap = 0;     ///< pH units between them
};

/// One way to get a window: what is left out, and the pH that suits the rest.
struct Removal {
  double low = 0, high = 0;            ///< may be infinite
  double weight = 0;                   ///< of what is left out
  std::vector<std::size_t> left_out;   ///< indices of ranges
};

/// How far a target keeps off the edges, pH units.
struct Margin {
  double meter = 0.1;   ///< what the meter or strip may be off by
  double dosing = 0.1;  ///< how near to the target an adjustment ends
  double drift = 0;     ///< what the pH is expected to move by: the larger of the two ways
  double fall = 0;      ///< what it is expected to move down by while the product is kept
  double rise = 0;      ///< what it is expected to move up by
  double total() const { return meter + dosing + drift; }
};

/// The feasible window of pH. Indices point into `ranges`.
struct Window {
  bool feasible = false;
  double low = 0, high = 14;            ///< meaningful when feasible
  std::optional<Interval> firm;         ///< where all sources agree; none when nowhere
  std::optional<Interval> widest;       ///< where for each range some source agrees; none when nowhere
  std::optional<double> target;         ///< where it is best to aim; none when not feasible
  Margin margin;                        ///< that the target was asked to keep
  std::vector<std::size_t> low_bound_by, high_bound_by;
  std::vector<std::size_t> next_low, next_high;  ///< what would bind if those were gone
  std::vector<Conflict> conflicts;      ///< widest gap first; empty when feasible
  std::size_t conflict_count = 0;       ///< of all pairs; more than are listed where there are very many
  std::vector<Removal> removals;        ///< every way to which nothing can be put back, least weight first
  std::vector<WorkingRange> ranges;

  /// The way that leaves out the least weight; nothing when feasible.
  Removal least_removal() const { return removals.empty() ? Removal{} : removals.front(); }
  /// How well all ranges like a pH, 0 to 1: the geometric mean of their desirabilities.
  double desirability(double ph) const;
};

/// Up to so many ranges every pair that does not meet is listed; beyond, the widest alone and their count.
inline constexpr std::size_t most_ranges_paired = 200;

/// Options that decide which rows apply.
struct Judging {
  std::string jurisdiction;  ///< EU, US, Canada, …; empty applies every market's rows
};

/// The ranges that apply to a formula. Where the least active amount of its acid preservatives is known,
/// their edge is computed from their doses together.
std::vector<WorkingRange> working_ranges(const Formula& formula, const Tables& tables, const Judging& judging,
                                         const Preservation& preservation = {});

/// What leaving out a line of the formula weighs; the law and the kind of product weigh more than all.
using Weights = std::vector<double>;

/// Weights of a formula's lines (assumption): what the product is made for stays longest.
Weights weights_of(const Formula& formula, const Tables& tables);

/// Intersects the hard ranges, names the conflicts when they do not meet, and chooses the target:
/// highest geometric mean of desirabilities (Derringer and Suich, J. Qual. Technol. 12, 214 (1980)),
/// in the firm core where there is room, kept off its edges, and among equals nearest to `predicted` so that least is added.
/// A line without a weight weighs 1.
Window window_of(std::vector<WorkingRange> ranges, std::optional<double> predicted, const Margin& margin = {},
                 const Weights& weights = {});

}  // namespace counterion
