// SPDX-License-Identifier: MIT
// Why a batch reads what it reads: is there a difference at all, what may have caused it, what to
// check first, and what would mend it.
#pragma once

#include <counterion/answer/check.hpp>
#include <counterion/batch/lots.hpp>
#include <counterion/formula/reading_log.hpp>
#include <counterion/reading/explain.hpp>
#include <counterion/reading/measurement.hpp>

namespace counterion {

/// How one reading was taken.
struct Taken {
  Measuring measuring;
  bool method_stated = false;  ///< otherwise it may have been a meter or a strip
};

/// What of a log could not be used.
struct UsedLog {
  std::string file;
  std::vector<BrokenLine> broken;
  std::vector<Problem> problems;
  std::size_t left_out = 0;  ///< readings after an addition that cannot be read in full
};

/// What is known of a batch whose reading is to be explained.
struct ExplainOptions : CheckOptions {
  std::vector<BatchReading>
      readings;               ///< as they were shown, in the order in which they were taken
  std::vector<Taken> taken;   ///< one for each of them; those without are of a meter of
                              ///< which nothing is said
  bool meter_stated = false;  ///< `meter_ph` is what the person says; otherwise the method decides
  std::vector<Finding> findings;
  std::optional<UsedLog> log;  ///< from which the readings come
};

/// Adds a log's readings, with how they were taken, and what of it could not be used. Readings
/// after an addition that cannot be read in full are left out. Throws BadInput where no reading is
/// left; UnknownIngredient and BadInput for what cannot be an adjuster.
void add_log(const ReadingLog& log, const std::string& file, const Tables& tables,
             ExplainOptions& options);

/// A finding as people write it: "measure-again: nothing", "measure-again: meter-not-calibrated",
/// "packs-and-sheet: citric acid" (a line of the formula), "weigh-batch: 491 g". Throws BadInput
/// with the valid words. A line of the formula alone has the kind `any_kind`: that of the most
/// probable mishap which the check could show of it.
inline constexpr std::string_view any_kind = "any";
Finding finding_named(std::string_view text, const Formula& formula, const Tables& tables);

/// Whether a difference is one.
enum class Difference { inside, may_be_chance, real };
inline constexpr std::array<std::string_view, 3> difference_names{"inside", "may-be-chance",
                                                                  "real"};

/// The last reading against what was expected of it.
struct MeasurementInLight {
  MeasurementQuality quality;  ///< `corrected_ph` is that of the product itself
  double half_of_tools = 0;    ///< 90 % half width of what meter or strip are off by, pH units
  double expected = 0;         ///< pH that was expected to be read
  double low = 0, high = 0;    ///< 90 % interval of what would be read, measurement included
  double read = 0;             ///< pH that the meter would have shown, were its own scale right
  double surprise = 0;         ///< standard deviations, + read higher
  double once_in = 1;          ///< one batch in so many reads as far off by chance
  Difference difference = Difference::inside;
  bool by_readings_before = false;  ///< what was expected rests on the readings before it, which it
                                    ///< fits worse than the formula
};

/// What a batch has against microorganisms, beside that of the formula as written.
enum class PreservationChange { same, weaker, lost, stronger };
inline constexpr std::array<std::string_view, 4> preservation_change_names{"same", "weaker", "lost",
                                                                           "stronger"};

/// A batch judged beside its formula.
struct Standing {
  std::optional<double> ph;
  std::vector<FiredCaution> new_cautions;  ///< that the formula does not have, notes left aside
  std::vector<CheckedLimit> limits;        ///< exceeded, those of the formula included
  PreservationChange preservation = PreservationChange::same;
  bool in_window = true;
  bool stop = false;               ///< something says stop
  std::vector<std::string> names;  ///< of its lines
};

/// What to do about a cause.
enum class MendAction {
  accept,
  read_again,
  wait,
  weigh_in,
  make_up_with_water,
  make_larger,
  dose,
  remake,
  throw_away
};
inline constexpr std::array<std::string_view, 9> mend_action_names{
    "accept",      "read-again", "wait",   "weigh-in",  "make-up-with-water",
    "make-larger", "dose",       "remake", "throw-away"};

/// So much of something to weigh.
struct Weighing {
  std::string ingredient;  ///< id; empty for a material in no table
  std::string name;
  double grams = 0;            ///< of stock
  double stock_percent = 100;  ///< of the ingredient in it
};

/// A way to mend a cause, judged again.
struct Mend {
  std::size_t cause = 0;  ///< index
  MendAction action = MendAction::accept;
  std::vector<Weighing> weighings;  ///< empty where nothing is weighed, or where it is withheld
  std::optional<double> batch_g;    ///< size of the batch afterwards
  Standing after;        ///< the batch afterwards; its pH is empty where it stays unknown
  std::string withheld;  ///< why no grams are given
  std::string why;       ///< one sentence
  bool first = true;     ///< the one to take; otherwise another way
};

/// A change over time against the forecast.
struct ChangeInLight {
  double from_days = 0, to_days = 0;  ///< ages of the first and the last reading
  double read = 0;                    ///< pH units
  double expected = 0;                ///< pH units
  double low = 0, high = 0;           ///< 90 % interval of what would be read
  bool as_forecast = true;
};

/// The answer. Indices of causes are those of `explained.causes`.
struct Explanation {
  CheckResult check;  ///< of the formula as written
  ExplainOptions options;
  std::size_t set_aside = 0;  ///< readings beyond `most_readings`, after the first one
  std::vector<ReadingInLight> readings;
  std::optional<MeasurementInLight> measurement;  ///< none without a water phase
  Explained explained;
  std::vector<Standing> standings;  ///< the batch as each of the first causes has it
  std::vector<Mend> mends;          ///< of the leading causes, in their order
  std::string withheld;             ///< why no grams are given of anything; empty otherwise
  std::optional<ChangeInLight> change;
  std::vector<LearnedLot> lots;  ///< where nothing, or a raw material, is the leading cause

  /// Whether the formula, or the batch as the leading cause has it, says stop.
  bool stop() const;
  /// Causes of at least `least_leading`, `most_leading` at most.
  std::size_t leading() const;
};

/// Least probability of a cause for which a mend is worked out, and how many there are at most.
inline constexpr double least_leading = 0.05;
inline constexpr std::size_t most_leading = 4;
/// From this probability on a cause is acted upon although others are possible.
inline constexpr double sure_of_cause = 0.9;

/// Of more readings the first and the last ones count; what was weighed in between them all does.
inline constexpr std::size_t most_readings = most_readings_explained;

/// Explains the last of the readings. Throws as `check`, `explain_readings` and `quality_of`, and
/// BadInput without readings.
Explanation explain(const Formula& formula, const Tables& tables, const ExplainOptions& options);

}  // namespace counterion
