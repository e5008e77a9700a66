// SPDX-License-Identifier: MIT
// What must not meet, what to watch for, and which legal limits are touched.
#pragma once

#include <counterion/judgement/window.hpp>

namespace counterion {

/// Where on the pH line a caution holds.
enum class Holding {
  there,           ///< at any pH, or at the pH to aim for, or where the batch stands without one
  until_adjusted,  ///< as it stands; no longer at the pH to aim for
  possibly,        ///< only within the interval of the prediction
  elsewhere        ///< only in another part of the window
};

/// A caution that applies to a formula.
struct FiredCaution {
  std::string id;
  tables::Severity severity = tables::Severity::note;
  std::vector<std::size_t> items;  ///< lines of the formula that it is about
  Holding holding = Holding::there;
  std::optional<double> minimum_ph, maximum_ph;  ///< where it holds; open ends are empty
  std::string what_happens;
  std::string what_to_do;
  std::string source;
  std::string row_id;
};

/// A level that was compared with a limit.
struct CheckedLimit {
  std::vector<std::size_t> items;
  double percent = 0;       ///< as the limit counts it
  double maximum_percent = 0;
  std::string expressed_as; ///< name of the substance it is counted as; empty = as the ingredient
  bool law = true;          ///< false: an expert panel's or an authority's advice
  std::string market;
  std::string product;
  std::string condition;
  bool exceeded = false;
  std::string source;
  std::string row_id;
  std::string date_seen;    ///< day on which the source was read; empty for memory
};

/// The pH that a formula has, may have, and shall have.
struct PHInQuestion {
  std::optional<double> predicted;
  std::optional<double> target;
  std::optional<Interval> interval;  ///< of the prediction, 90 %
  std::optional<Interval> window;
};

/// The cautions of the tables and the slow changes that apply, worst first, each said once. A gate on the
/// pH is held against the pH to aim for, else against the prediction. What holds only as it stands or in
/// another part of the window is a note; what holds only within the prediction's interval weighs one
/// severity less, and a note that only might hold is not said.
std::vector<FiredCaution> cautions_of(const Formula& formula, const PHInQuestion& ph, const Tables& tables);

/// The same with no more known than these two.
inline std::vector<FiredCaution> cautions_of(const Formula& formula, std::optional<double> predicted,
                                             std::optional<double> target, const Tables& tables) {
  return cautions_of(formula, {predicted, target, std::nullopt, std::nullopt}, tables);
}

/// Stop cautions that hold on one side of a pH, as hard ranges: a product may not stand there, so
/// no target may be chosen there.
std::vector<WorkingRange> stop_ranges(const Formula& formula, const Tables& tables);

/// Legal and advised maxima of the markets in question; an unstated use takes the strictest.
std::vector<CheckedLimit> limits_of(const Formula& formula, const Tables& tables,
                                    const Judging& judging);

}  // namespace counterion
