// SPDX-License-Identifier: MIT
// The command `counterion explain`.
#include "asked.hpp"
#include "readings.hpp"

#include <counterion/dosing/amounts.hpp>
#include <counterion/report/explanation.hpp>

#include <fmt/chrono.h>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <ctime>

namespace counterion::cli {
namespace {

/// Does one thing after another and keeps what was wrong with each.
class AllAtOnce {
 public:
  template <class Work>
  void operator()(const Work& work) {
    try {
      work();
    } catch (const BadInput& bad) {
      problems_.insert(problems_.end(), bad.problems().begin(), bad.problems().end());
    } catch (const UnknownIngredient& unknown) {
      problems_.push_back({{}, unknown.what(), {}, {}});
    }
  }
  /// Throws BadInput with all that was wrong.
  void conclude() {
    if (!problems_.empty()) throw BadInput(std::move(problems_));
  }

 private:
  std::vector<Problem> problems_;
};

// ---- how it was taken, in the words of a log ----

std::string in_cell(std::string_view text) {
  std::string cell = "\"";
  for (const char c : text) cell += c == '"' ? "\"\"" : std::string(1, c);
  return cell + '"';
}

void require_one_line(std::string_view text, std::string_view option) {
  if (text.find_first_of("\r\n") != text.npos)
    refuse(fmt::format("{} has a line break", option), "one line");
}

/// Reads a piece of a log; faults are those of the option.
ReadingLog read_piece(const std::string& text, std::string_view option, const Tables& tables) try {
  auto log = read_reading_log(text, std::string(option), tables);
  require_sound(log);
  return log;
} catch (const BadInput& bad) {
  auto problems = bad.problems();
  for (auto& problem : problems) problem.place.line = problem.place.column = 0;
  throw BadInput(std::move(problems));
}

/// A log of one reading with one more column.
LogLine line_with(std::string_view head, const std::string& cell, std::string_view option,
                  const Tables& tables) {
  require_one_line(cell, option);
  const std::string text = fmt::format("pH,{}\n7.0,{}\n", head, in_cell(cell));
  return read_piece(text, option, tables).lines.front();
}

BufferReading buffer_of(const std::string& text, const Tables& tables) {
  require_one_line(text, "--buffer");
  const auto log = read_piece(fmt::format("# buffer: {}\npH\n7.0\n", text), "--buffer", tables);
  if (log.buffers.empty()) refuse(fmt::format("--buffer is '{}'", text), "such as \"4.01 = 4.10\"");
  const auto& buffer = log.buffers.front();
  return {buffer.nominal_ph, buffer.shown_ph.value_or(buffer.nominal_ph), buffer.millivolts,
          buffer.temperature_celsius.value_or(25)};
}

void set_method(const Asked& asked, const Tables& tables, Taken& taken) {
  if (asked.method.empty()) return;
  const auto line = line_with("method", asked.method, "--method", tables);
  if (!line.method)
    refuse(fmt::format("--method is '{}'", asked.method),
           fmt::format("one of {}", fmt::join(method_names, ", ")));
  taken.measuring.method =
      static_cast<Method>(std::ranges::find(method_names, *line.method) - method_names.begin());
  taken.measuring.step_ph = line.step_ph;
  taken.method_stated = true;
}

void set_dilution(const Asked& asked, const Tables& tables, Taken& taken) {
  if (asked.dilution.empty()) return;
  const auto line = line_with("dilution", asked.dilution, "--dilution", tables);
  if (!line.dilution_water_g)
    refuse(fmt::format("--dilution is '{}'", asked.dilution), "such as \"10 g in 90 g\"");
  taken.measuring.dilution = {line.dilution_product_g.value_or(1), *line.dilution_water_g,
                              carbon_dioxide_of_air(tables)};
}

/// What was typed of how a reading was taken, laid over what is known of it.
class Typed {
 public:
  Typed(const Asked& asked, const Tables& tables, AllAtOnce& each) : asked_(asked) {
    each([&] { set_method(asked, tables, typed_); });
    each([&] { set_dilution(asked, tables, typed_); });
    each([&] {
      if (!asked.sample_temperature.empty())
        typed_.measuring.sample_celsius = number_of(
            asked.sample_temperature, "--sample-temperature", "degrees Celsius such as 40");
    });
    for (const auto& text : asked.buffers)
      each([&] { typed_.measuring.buffers.push_back(buffer_of(text, tables)); });
  }
  void lay_over(Taken& taken) const {
    auto& measuring = taken.measuring;
    if (typed_.method_stated) {
      measuring.method = typed_.measuring.method, measuring.step_ph = typed_.measuring.step_ph;
      taken.method_stated = true;
    }
    if (typed_.measuring.dilution.diluted()) measuring.dilution = typed_.measuring.dilution;
    if (typed_.measuring.sample_celsius) measuring.sample_celsius = typed_.measuring.sample_celsius;
    if (!typed_.measuring.buffers.empty()) measuring.buffers = typed_.measuring.buffers;
    if (asked_.not_compensated) measuring.compensates_temperature = false;
  }

 private:
  const Asked& asked_;
  Taken typed_;
};

// ---- the log ----

std::string now() {
  return fmt::format("{:%Y-%m-%dT%H:%MZ}", fmt::gmtime(std::time(nullptr)));
}

/// Whether lines of a log say when they were written; so does a log that is yet to be made.
bool has_times(const std::string& path, const Tables& tables, std::string_view with) {
  std::error_code error;
  if (!std::filesystem::exists(path, error)) return true;
  const auto log = read_reading_log_file(path, tables, with);
  return std::ranges::any_of(log.lines, [](const LogLine& line) { return !line.time.empty(); });
}

NewReading new_reading_of(const std::string& text, const Asked& asked, const Tables& tables) {
  const auto reading = reading_of(text, tables);
  NewReading fresh;
  fresh.ph = reading.ph;
  fresh.time = asked.time;
  if (fresh.time.empty() && has_times(asked.log, tables, asked.with)) fresh.time = now();
  fresh.method = asked.method, fresh.dilution = asked.dilution;
  if (!asked.sample_temperature.empty())
    fresh.temperature_celsius =
        number_of(asked.sample_temperature, "--sample-temperature", "degrees Celsius such as 40");
  if (reading.added.empty()) return fresh;
  const auto& portion = reading.added.front();
  fresh.added = portion.adjuster.ingredient;
  fresh.grams = portion.grams;
  const bool usual = adjuster_named(fresh.added, tables) == portion.adjuster;
  if (!usual) fresh.strength_percent = portion.adjuster.stock_percent;
  return fresh;
}

void write_into_log(const Asked& asked, const Tables& tables) {
  for (const auto& text : asked.readings)
    append_reading(asked.log, new_reading_of(text, asked, tables), tables, asked.with);
}

void take_log(const Asked& asked, const Tables& tables, ExplainOptions& options) {
  const auto log = read_reading_log_file(asked.log, tables, asked.with);
  say_diagnostics(log.diagnostics);
  for (const auto& problem : log.problems) say(describe(problem));
  add_log(log, asked.log, tables, options);
  if (options.log->left_out > 0)
    say(fmt::format("{}: {} readings after an addition that cannot be read in full are not used",
                    asked.log, options.log->left_out));
}

void require_sense(const Asked& asked) {
  if (asked.log.empty() && asked.readings.empty())
    refuse("nothing that was read", "--reading PH or --log FILE");
  if (asked.append && asked.log.empty()) refuse("--append without --log", "the log to write into");
  if (asked.append && asked.readings.empty())
    refuse("--append without --reading", "a reading to write");
  if (!asked.append && !asked.log.empty() && !asked.readings.empty())
    refuse("--reading and --log together",
           "one of them, or --append to write the reading into the log");
}

ExplainOptions explain_options_of(const Asked& asked, const Formula& formula,
                                  const Tables& tables) {
  ExplainOptions options;
  AllAtOnce each;
  each([&] { require_sense(asked); });
  each([&] { static_cast<CheckOptions&>(options) = options_of(asked); });
  options.meter_stated = !asked.meter.empty();
  for (const auto& text : asked.found)
    each([&] { options.findings.push_back(finding_named(text, formula, tables)); });
  each([&] {
    if (!asked.weight.empty())
      options.findings.push_back({"weigh-batch", {}, {}, grams_of(asked.weight, "--weight")});
  });
  const Typed typed(asked, tables, each);
  for (const auto& text : asked.readings)
    each([&] { options.readings.push_back(reading_of(text, tables)); });
  each.conclude();
  options.taken.resize(options.readings.size());
  if (asked.append) write_into_log(asked, tables);
  if (!asked.log.empty()) {
    options.readings.clear(), options.taken.clear();
    take_log(asked, tables, options);
    if (!options.taken.empty()) typed.lay_over(options.taken.back());
  } else {
    for (auto& taken : options.taken) typed.lay_over(taken);
  }
  return options;
}

/// Keeps what was learned of raw materials, or says why there is nothing to keep.
void keep_lots(const Asked& asked, const Explanation& explanation, const Tables& tables) {
  if (explanation.lots.empty())
    return say("no raw materials are kept: first the likeliest cause must be settled");
  const LotOrigin origin{explanation.check.formula.name, now().substr(0, 10), explanation.readings};
  try {
    write_lots(asked.lots, explanation.lots, origin, tables);
    say(fmt::format("{}: raw materials kept; use them with --tables", asked.lots));
  } catch (const BadInput& bad) {
    say(bad.what());
  }
}

}  // namespace

int run_explain(const Asked& asked) {
  const Tables tables = tables_of(asked);
  const Formula formula = formula_of(asked, tables);
  const auto options = explain_options_of(asked, formula, tables);
  const auto explanation = explain(formula, tables, options);
  say_diagnostics(explanation.check.formula.diagnostics);
  if (!asked.lots.empty()) keep_lots(asked, explanation, tables);
  const std::string answer =
      asked.json ? json_report(explanation) + "\n" : text_report(explanation, style_for(asked));
  if (!write_out(answer)) return failure;
  return explanation.stop() ? stop : no_stop;
}

}  // namespace counterion::cli
