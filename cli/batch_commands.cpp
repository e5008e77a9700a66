// SPDX-License-Identifier: MIT
// predict, adjust, titrate: the commands about a batch and its readings.
#include "asked.hpp"
#include "readings.hpp"
#include "storage.hpp"

#include <counterion/reading/log_readings.hpp>
#include <counterion/report/batch.hpp>
#include <counterion/report/curve.hpp>
#include <counterion/text/number.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace counterion::cli {
namespace {

/// "5 mmol acid" or "10 mmol base", per kg.
BufferAim aim_of(const std::string& text, std::optional<double> target) {
  const auto blank = text.find(' ');
  const bool acid = text.find("acid") != text.npos, base = text.find("base") != text.npos;
  if (acid == base)
    refuse(fmt::format("--hold is '{}'", text), "\"5 mmol acid\" or \"10 mmol base\"");
  const double load =
      number_of(text.substr(0, blank), "--hold", "\"5 mmol acid\" or \"10 mmol base\"");
  return {target.value_or(0), acid ? load : 0, base ? load : 0, 0.2};
}

BatchOptions batch_options_of(const Asked& asked, const Tables& tables) {
  BatchOptions options;
  static_cast<CheckOptions&>(options) = options_of(asked);
  options.every_adjuster = asked.adjusters.empty();
  options.ruled_out = asked.ruled_out;
  if (!asked.log.empty() && !asked.readings.empty())
    refuse("--reading and --log together", "one of them");
  for (const auto& text : asked.readings) options.readings.push_back(reading_of(text, tables));
  if (!asked.log.empty()) {
    const auto log = read_reading_log_file(asked.log, tables, asked.with);
    require_sound(log);
    say_diagnostics(log.diagnostics);
    options.readings = readings_of(log, tables);
    if (ends_unread(log)) say("the log ends with an addition that was not read: it is not counted");
    options.sample_g = log.sample_g;
    if (!options.batch_g) options.batch_g = log.batch_g;
  }
  if (!asked.neutralise.empty())
    options.neutralise =
        number_of(asked.neutralise.substr(0, asked.neutralise.find_last_not_of(" %") + 1),
                  "--neutralise", "percent such as 60") /
        100;
  if (!asked.storage.empty()) options.storage = storage_in(asked.storage);
  if (!asked.sample.empty()) options.sample_g = grams_of(asked.sample, "--sample");
  return options;
}

/// The curve of the chosen adjuster, with what was read and what is planned.
Curve curve_of(const BatchAnswer& answer) {
  Curve curve;
  curve.tolerance = answer.check.options.tolerance_ph;
  curve.target = answer.check.target;
  const Window& window = answer.check.window;
  if (window.feasible) curve.window = {window.low, window.high};
  for (const auto& step : answer.curve)
    curve.points.push_back({step.grams, step.ph, step.low, step.high});
  if (!answer.chosen) return curve;
  const auto& one = answer.check.adjustments[*answer.chosen];
  const std::string stock =
      one.adjuster.stock_percent < 100
          ? fmt::format("{}, {:g} % in water", one.name, one.adjuster.stock_percent)
          : one.name + ", as supplied";
  curve.title = answer.check.formula.name.empty()
                    ? stock
                    : fmt::format("{}: {}", answer.check.formula.name, stock);
  curve.what = fmt::format("g of {}, for {:g} g", stock, answer.check.formula.batch_g);
  if (!answer.learned.readings.empty())
    curve.readings.push_back({0, answer.learned.readings.back().ph, "read"});
  double grams = 0;
  if (answer.plan)
    for (const auto& step : answer.plan->additions) {
      grams += step.grams;
      curve.steps.push_back({grams, step.expected_ph, fmt::format("{:.3g} g", step.grams)});
    }
  return curve;
}

/// The course of the pH in time, with what was read of it.
Course course_of(const BatchAnswer& answer) {
  Course course;
  const auto& check = answer.check;
  course.title = check.formula.name.empty() ? "Its pH while it is kept"
                                            : check.formula.name + ": its pH while it is kept";
  if (check.window.feasible) course.window = {check.window.low, check.window.high};
  if (!answer.keeping) return course;
  for (const auto& point : answer.keeping->drift.points)
    course.points.push_back({point.days, point.ph, point.low, point.high});
  for (const auto& reading : answer.series) course.readings.push_back({reading.days, reading.ph, {}});
  return course;
}

std::string picture_of(const BatchAnswer& answer, bool in_time) {
  return in_time ? svg_of(course_of(answer)) : svg_of(curve_of(answer));
}

std::string quoted(const std::string& word) {
  return word.find_first_of(" ;&()'$*") == word.npos ? word : fmt::format("\"{}\"", word);
}

/// The command that asks again with the next reading.
std::string next_command(const Asked& asked, const BatchAnswer& answer) {
  if (!answer.plan || answer.plan->additions.empty() || asked.file == "-" || !asked.log.empty())
    return {};
  const auto& one = answer.check.adjustments[*answer.chosen];
  std::string text = "counterion";
  for (const auto& word : asked.words) text += " " + quoted(word);
  if (asked.readings.empty()) return text + " --reading PH";
  return text + fmt::format(" --reading \"PH after {:.4g} g {} {:g} %\"",
                            answer.plan->additions.front().grams, one.adjuster.ingredient,
                            one.adjuster.stock_percent);
}

std::string joined_lines(const std::vector<std::string>& lines) {
  std::string text = "\n";
  for (const auto& line : lines) text += line + "\n";
  return text;
}

/// The course in characters, where there is one worth it.
std::string course_text(const BatchAnswer& answer, const TextStyle& style) {
  if (!answer.keeping || answer.keeping->drift.causes.empty()) return {};
  return joined_lines(sketch_of(course_of(answer), style));
}

std::string sketch_text(const BatchAnswer& answer, const TextStyle& style) {
  return answer.curve.empty() ? std::string() : joined_lines(sketch_of(curve_of(answer), style));
}

/// Writes the answer, and the curve where it was asked for.
int hand_over(const Asked& asked, const BatchAnswer& answer, const std::string& text,
              bool in_time) {
  say_diagnostics(answer.check.formula.diagnostics);
  if (!asked.curve.empty() && !write_file(asked.curve, picture_of(answer, in_time))) return failure;
  if (!write_out(asked.json ? json_report(answer) + "\n" : text)) return failure;
  return answer.check.stop() ? stop : no_stop;
}

}  // namespace

namespace {

using Answering = BatchAnswer (*)(const Formula&, const Tables&, const BatchOptions&);

/// Answers one of the questions about a batch; `text` makes a screen of it.
template <class Text>
int answer_by(Answering answering, const Asked& asked, const Text& text) {
  const Tables tables = tables_of(asked);
  auto options = batch_options_of(asked, tables);
  const Formula formula = formula_of(asked, tables);
  const auto target = options.target ? std::optional(options.target->value()) : std::nullopt;
  if (!asked.hold.empty()) options.hold = aim_of(asked.hold, target);
  const auto answer = answering(formula, tables, options);
  return hand_over(asked, answer, text(answer, style_for(asked)), answering == &foresee);
}

}  // namespace

int run_predict(const Asked& asked) {
  return answer_by(foresee, asked, [](const BatchAnswer& answer, const TextStyle& style) {
    return foreseen_report(answer, style) + course_text(answer, style);
  });
}

int run_adjust(const Asked& asked) {
  return answer_by(adjust, asked, [&](const BatchAnswer& answer, const TextStyle& style) {
    return dosing_report(answer, style, next_command(asked, answer)) + sketch_text(answer, style);
  });
}

int run_titrate(const Asked& asked) {
  return answer_by(titrate, asked, [](const BatchAnswer& answer, const TextStyle& style) {
    return dosing_report(answer, style) + sketch_text(answer, style);
  });
}

}  // namespace counterion::cli
