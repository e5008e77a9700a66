// SPDX-License-Identifier: MIT
#include <counterion/answer/explanation.hpp>
#include <counterion/text/names.hpp>
#include <counterion/text/number.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <set>

namespace counterion {
namespace {

std::string_view trimmed(std::string_view text) {
  const auto first = text.find_first_not_of(" \t");
  if (first == text.npos) return {};
  return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

[[noreturn]] void refuse(std::string found, std::string expected,
                         std::vector<std::string> suggestions = {}) {
  std::vector<Problem> problems;
  add_problem(problems, {}, std::move(found), std::move(expected), std::move(suggestions));
  throw BadInput(std::move(problems));
}

// ---- findings ----

constexpr std::string_view weighing = "weigh-batch";

std::set<std::string_view> checks_of(const Tables& tables) {
  std::set<std::string_view> checks;
  for (const auto& row : tables.mishaps())
    if (row.kind != "none") checks.insert(row.check);
  return checks;
}

/// What a check can show.
std::set<std::string_view> kinds_of(std::string_view check, const Tables& tables) {
  std::set<std::string_view> kinds;
  for (const auto& row : tables.mishaps())
    if (row.check == check && row.kind != "none") kinds.insert(row.kind);
  return kinds;
}

bool says_nothing(std::string_view word) {
  return word == "nothing" || word == "none" || word == "all right" || word == "ok";
}

/// The first line that a name means; empty where none does.
std::optional<std::size_t> line_named(std::string_view name, const Formula& formula,
                                      const Tables& tables) {
  std::set<std::string_view> ids;
  for (const auto* ingredient : tables.meanings(name)) ids.insert(ingredient->id);
  for (std::size_t i = 0; i < formula.items.size(); ++i) {
    const auto& item = formula.items[i];
    if (text::normalise(item.written) == text::normalise(name) || ids.contains(item.ingredient))
      return i;
  }
  return std::nullopt;
}

/// Names of the lines, as they may be typed.
std::vector<std::string> lines_of(const Formula& formula) {
  std::vector<std::string> names;
  for (const auto& item : formula.items) names.push_back(item.written);
  return names;
}

std::optional<double> grams_in(std::string_view word) {
  const auto number = text::read_number(word).number;
  if (!number || !(number->value > 0)) return std::nullopt;
  if (number->unit == "kg") return number->value * 1000;
  if (number->unit.empty() || number->unit == "g") return number->value;
  return std::nullopt;
}

// ---- a log ----

Method method_named(const std::string& name) {
  const auto at = std::ranges::find(method_names, name) - method_names.begin();
  return static_cast<Method>(at);
}

/// What the header says of the meter.
Measuring measuring_of(const ReadingLog& log) {
  Measuring measuring;
  for (const auto& buffer : log.buffers)
    measuring.buffers.push_back({buffer.nominal_ph, buffer.shown_ph.value_or(buffer.nominal_ph),
                                 buffer.millivolts, buffer.temperature_celsius.value_or(25)});
  measuring.calibrated_celsius = log.calibrated_celsius;
  measuring.compensates_temperature = log.compensates_temperature.value_or(true);
  return measuring;
}

Taken taken_of(const LogLine& line, Measuring measuring, const Tables& tables) {
  Taken taken;
  if (line.method) measuring.method = method_named(*line.method);
  measuring.step_ph = line.step_ph;
  measuring.sample_celsius = line.temperature_celsius;
  if (line.dilution_product_g && line.dilution_water_g && *line.dilution_water_g > 0)
    measuring.dilution = {*line.dilution_product_g, *line.dilution_water_g,
                          carbon_dioxide_of_air(tables)};
  taken.method_stated = line.method.has_value();
  taken.measuring = std::move(measuring);
  return taken;
}

std::optional<Portion> portion_of(const LogLine& line, const Tables& tables) {
  if (!line.grams || line.ingredient.empty()) return std::nullopt;
  Adjuster adjuster = adjuster_named(line.ingredient, tables);
  if (line.stock_percent) adjuster.stock_percent = *line.stock_percent;
  return Portion{std::move(adjuster), *line.grams};
}

}  // namespace

Finding finding_named(std::string_view text, const Formula& formula, const Tables& tables) {
  const auto colon = text.find(':');
  const auto check = trimmed(text.substr(0, colon));
  const auto word = colon == text.npos ? std::string_view() : trimmed(text.substr(colon + 1));
  const auto checks = checks_of(tables);
  if (!checks.contains(check))
    refuse(fmt::format("what was found is '{}'", text),
           fmt::format("a check, a colon and what it found; the checks are {}",
                       fmt::join(checks, ", ")));
  Finding finding{std::string(check), {}, {}, {}};
  if (says_nothing(word)) return finding;
  if (const auto grams = check == weighing ? grams_in(word) : std::nullopt) {
    finding.grams = grams;
    return finding;
  }
  const auto kinds = kinds_of(check, tables);
  if (kinds.contains(word)) {
    finding.kind = word;
    return finding;
  }
  finding.item = word.empty() ? std::nullopt : line_named(word, formula, tables);
  if (!finding.item)
    refuse(fmt::format("the check {} found '{}'", check, word),
           fmt::format("{}'nothing', one of {}, or a line of the formula: {}",
                       check == weighing ? "grams such as \"491 g\", " : "", fmt::join(kinds, ", "),
                       fmt::join(lines_of(formula), ", ")));
  finding.kind = any_kind;
  return finding;
}

void add_log(const ReadingLog& log, const std::string& file, const Tables& tables,
             ExplainOptions& options) {
  UsedLog used{file, log.broken, log.problems, 0};
  if (log.sample_g)
    refuse(fmt::format("{} is the log of a sample of {:g} g", file, *log.sample_g),
           "a log of the batch; titrate answers for samples");
  const Measuring measuring = measuring_of(log);
  std::vector<Portion> pending;
  for (const auto& line : log.lines) {
    if (line.after_broken_addition) {
      used.left_out += line.ph.has_value();
      continue;
    }
    if (auto portion = portion_of(line, tables)) pending.push_back(std::move(*portion));
    if (!line.ph) continue;
    BatchReading reading(*line.ph, std::move(pending), line.place);
    reading.age_days = line.age_days;
    options.readings.push_back(std::move(reading));
    options.taken.resize(options.readings.size() - 1);
    options.taken.push_back(taken_of(line, measuring, tables));
    pending.clear();
  }
  if (!options.batch_g) options.batch_g = log.batch_g;
  options.log = std::move(used);
  if (options.readings.empty())
    refuse(fmt::format("{} has no reading that can be used", file),
           "a pH before which every addition can be read in full");
}

}  // namespace counterion
