// SPDX-License-Identifier: MIT
// What must not meet, what to watch for, and which legal limits are touched.
#pragma once

#include <counterion/judgement/window.hpp>

namespace counterion {

/// A caution that applies to a formula.
struct FiredCaution {
  std::string id;
  tables::Severity severity = tables::Severity::note;
  std::vector<std::size_t> items;  ///< lines of the formula that it is about
  bool before_adjusting_only = false;  ///< holds at the predicted pH, no longer at the target
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
};

/// The cautions of the tables and the slow changes that apply, worst first, each said once.
/// `target` is empty where there is no window; pH-gated cautions then look at the predicted pH alone.
std::vector<FiredCaution> cautions_of(const Formula& formula, std::optional<double> predicted,
                                      std::optional<double> target, const Tables& tables);

/// Stop cautions that hold on one side of a pH, as hard ranges: a product may not stand there, so
/// no target may be chosen there.
std::vector<WorkingRange> stop_ranges(const Formula& formula, const Tables& tables);

/// Legal and advised maxima of the markets in question; an unstated use takes the strictest.
std::vector<CheckedLimit> limits_of(const Formula& formula, const Tables& tables,
                                    const Judging& judging);

}  // namespace counterion
