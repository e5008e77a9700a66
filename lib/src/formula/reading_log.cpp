// SPDX-License-Identifier: MIT
#include <counterion/formula/reading_log.hpp>

#include "additions.hpp"
#include "amount.hpp"
#include "draft.hpp"
#include "header.hpp"
#include "log_columns.hpp"
#include "log_methods.hpp"
#include "log_text.hpp"
#include "log_times.hpp"
#include "words.hpp"

#include <counterion/text/names.hpp>

#include <algorithm>
#include <fmt/format.h>
#include <set>
#include <utility>

namespace counterion {
namespace formula {
namespace {

using text::CsvRow;

constexpr FileKind log_file{"a CSV file", "a log"};
constexpr std::size_t most_lines = 1000;

// ---- the table ----

bool is_log_header(const Columns& columns) {
  return columns.has(Role::ph);
}

bool is_near_log_header(const Columns& columns) {
  return std::ranges::any_of(
      std::initializer_list<Role>{Role::ingredient, Role::grams, Role::total, Role::temperature},
      [&](Role role) { return columns.has(role); });
}

std::string what_a_log_lacks(const Columns&) {
  return "a column of pH readings (pH, pH value or pH-Wert); besides it a log may have Time, Added, "
         "Strength, Grams or Total grams, Temperature and Note";
}

constexpr TableKind log_table{read_log_header_cell, is_log_header, is_near_log_header,
                              what_a_log_lacks, "no lines"};

/// What a log may have several columns of.
bool may_be_repeated(Role role) {
  return role == Role::method || role == Role::note || role == Role::unknown || role == Role::time ||
         role == Role::volume || role == Role::unclear;
}

/// Which header lines say one thing only.
bool is_said_once(std::string_view key) {
  return key == "with" || key == "sample" || key == "batch" || key == "mixed" || key == "calibrated" ||
         key == "compensated";
}

class LogReader {
 public:
  LogReader(const Sheet& sheet, const LogText& text, const Tables& tables, std::string_view with, ReadingLog& log,
            Findings& findings)
      : sheet_(sheet),
        text_(text),
        marks_(sheet.decimal_marks_in(
            {Role::grams, Role::total, Role::strength, Role::ph, Role::temperature})),
        log_(log),
        findings_(findings),
        clock_(findings),
        additions_(sheet, marks_, tables, findings) {
    if (!with.empty()) additions_.set_usual_name(std::string(with), {});
  }

  /// Whether the log can be used as a whole.
  bool read() {
    const auto faults = findings_.problems.size();
    check_columns();
    check_delimiters();
    const bool sound_columns = findings_.problems.size() == faults;
    clock_.decide_order(all_times());
    for (const auto& row : sheet_.rows) {
      if (is_remark(row)) read_remark(row);
    }
    for (const auto role : {Role::grams, Role::total}) say_unit(at(role));
    for (const auto& row : sheet_.rows_below_header()) read_row(row);
    additions_.conclude();
    clock_.conclude();
    return check_size() && sound_columns && is_of_use();
  }

 private:
  Position at(Role role) const { return sheet_.columns.position(role); }
  Place place(const CsvRow& row, Position position = {}) const {
    return place_of(findings_.file, row, position);
  }

  // ---- head ----

  void check_columns() {
    const auto& head = sheet_.rows[sheet_.header];
    for (std::size_t i = 0; i < sheet_.columns.cells.size(); ++i) check_column(head, i);
  }

  void check_column(const CsvRow& head, std::size_t i) {
    const auto role = sheet_.columns.cells[i].role;
    const auto text = shown(cell_of(head, i));
    const auto first = *at(role);
    if (role == Role::volume) {
      findings_.problem(place(head, i), fmt::format("the column {} is no mass", text),
                        "grams that were weighed in, under a head such as Grams");
    } else if (role == Role::unclear) {
      findings_.problem(place(head, i), fmt::format("the column {} may mean several things", text),
                        fmt::format("grams since the line before under Grams, percent of a stock under "
                                    "Strength, what it was under Added or in {}",
                                    usual_name_example));
    } else if (first != i && !may_be_repeated(role)) {
      findings_.problem(place(head, i),
                        fmt::format("the column {} beside {}", text, shown(cell_of(head, first))),
                        "one of them, or another head");
    } else if (role == Role::unknown && cell_of(head, i).size() > 0) {
      say_of_column(sheet_, i, "is kept as a note", findings_);
    }
  }

  /// The head of a column of weights that names no unit, where its cells name none either.
  void say_unit(Position position) {
    if (!position || names_an_amount(words_of(cell_of(sheet_.rows[sheet_.header], position)))) return;
    const auto without_unit = [&](const CsvRow& row) {
      const auto one = read_amount(cell_of(row, position), marks_);
      return one.kind == AmountKind::number && one.unit == Unit::none && one.value != 0;
    };
    if (std::ranges::any_of(sheet_.rows_below_header(), without_unit))
      say_of_column(sheet_, *position, "states no unit and is taken as grams", findings_);
  }

  void read_remark(const CsvRow& row) {
    const auto property = property_of(row, sheet_.delimiter);
    if (!property || property->value.empty()) return;
    const auto key = log_key(property->key);
    if (key.empty()) return;
    auto& value = log_.header[key];
    if (is_said_once(key) && !value.empty()) {
      return findings_.problem(place(row), fmt::format("a second '{}'", key), "one for the whole log");
    }
    append(value, property->value, "; ");
    if (key == "with") additions_.set_usual_name(value, place(row));
    if (key == "sample") log_.sample_g = mass_property(key, value, place(row), findings_);
    if (key == "batch") log_.batch_g = mass_property(key, value, place(row), findings_);
    read_measuring(key, property->value, place(row));
  }

  /// Head lines about when the batch was made and how the meter was made ready.
  void read_measuring(const std::string& key, const std::string& value, const Place& where) {
    const auto fault = [&](const char* expected) {
      findings_.problem(where, fmt::format("{} as {}", shown(value), key), expected);
    };
    if (key == "mixed" && !clock_.set_beginning(value)) fault("a date or a time, such as 2026-03-01 14:00");
    if (key == "buffer") {
      auto buffer = read_buffer(value);
      if (!buffer) return fault("what a buffer of which pH showed, such as 4.01 = 4.05 @ 22 °C or 7.00 = -3 mV");
      buffer->place = where;
      log_.buffers.push_back(std::move(*buffer));
    }
    if (key == "calibrated" && !(log_.calibrated_celsius = read_celsius(value)))
      fault("a temperature of 0 to 100 °C");
    if (key == "compensated" && !(log_.compensates_temperature = read_yes_or_no(value))) fault("yes or no");
  }

  // ---- delimiters ----

  /// Another delimiter that takes a row apart better than the table's own; 0 where there is none.
  char other_delimiter_in(const CsvRow& row) const {
    const auto width = sheet_.columns.cells.size();
    const auto line = row.front().line;
    if (is_remark(row) || row.size() >= width || line > text_.lines.size() || is_blank(row)) return 0;
    const auto number = text::read_number(row.front().text).number;
    if (row.size() == 1 && number && number->unit.empty()) return 0;
    for (const char delimiter : {';', '\t', ','}) {
      if (delimiter == sheet_.delimiter) continue;
      const auto csv = text::read_csv(text_.lines[line - 1], delimiter, {});
      const bool better = csv.problems.empty() && csv.rows.size() == 1 && csv.rows[0].size() > row.size();
      if (better && csv.rows[0].size() + 1 >= width) return delimiter;
    }
    return 0;
  }

  static std::string name_of(char delimiter) {
    return delimiter == '\t' ? std::string("tabs") : fmt::format("'{}'", delimiter);
  }

  /// Half of the lines in another shape than the header: nobody knows which one is meant.
  void check_delimiters() {
    std::size_t other = 0, all = 0;
    char found = 0;
    for (const auto& row : sheet_.rows_below_header()) {
      if (is_blank(row) || is_remark(row)) continue;
      ++all;
      if (const char delimiter = other_delimiter_in(row)) ++other, found = delimiter;
    }
    if (other == 0 || 2 * other < all) return;
    findings_.problem(place(sheet_.rows[sheet_.header]),
                      fmt::format("cells between {} in the header, between {} in {} of {} lines below",
                                  name_of(sheet_.delimiter), name_of(found), other, all),
                      "one delimiter for all lines");
  }

  // ---- lines ----

  /// A line that cannot be taken apart; what it added nobody knows.
  void leave_out(const CsvRow& row) {
    const auto line = row.front().line;
    const bool remark = line <= text_.lines.size() && text_.lines[line - 1].starts_with('#');
    if (!remark && (at(Role::grams) || at(Role::total))) doubtful_ = true;
  }

  /// Whether the row has the shape of the table; otherwise the fault is told.
  bool check_shape(const CsvRow& row) {
    const auto faults = findings_.problems.size();
    check_width(sheet_, row, findings_);
    if (const char delimiter = other_delimiter_in(row))
      findings_.problem(place(row), fmt::format("cells between {}", name_of(delimiter)),
                        fmt::format("cells between {} as in the header", name_of(sheet_.delimiter)));
    if (findings_.problems.size() > faults) return false;
    const auto missing = [&](Position position) { return position && *position >= row.size(); };
    if (row.size() > 1 && (missing(at(Role::ph)) || missing(at(Role::grams)) || missing(at(Role::total))))
      findings_.say(place(row), fmt::format("{} cells below a header of {}; those at the end are taken as empty",
                                            row.size(), sheet_.columns.cells.size()));
    return true;
  }

  void read_row(const CsvRow& row) {
    if (text_.unreadable.contains(row.front().line)) return leave_out(row);
    const bool empty = std::ranges::all_of(row, [](const auto& one) { return is_nothing(one.text); });
    if (empty || is_remark(row)) return;
    if (is_total(row) && is_nothing(cell_of(row, at(Role::ph))))
      return findings_.say(place(row), "a line of totals is not read");
    if (!check_shape(row)) return leave_out(row);
    LogLine line;
    line.place = place(row);
    line.time = texts_of(row, Role::time, " ");
    line.age_days = clock_.age_of(time_of(row), place(row, at(Role::time)));
    line.note = note_of(row);
    line.ph = ph_of(row);
    line.temperature_celsius = temperature_of(row);
    read_method(row, line);
    read_dilution(row, line);
    read_addition(row, line);
    log_.lines.push_back(std::move(line));
  }

  void read_addition(const CsvRow& row, LogLine& line) {
    const auto outcome = additions_.read(row, line);
    if (outcome == AdditionOutcome::made_good) doubtful_ = false;
    if (outcome == AdditionOutcome::broken) doubtful_ = true;
    line.after_broken_addition = doubtful_;
    const bool strength_may_be_meant = line.dilution_water_g && line.grams && !at(Role::strength);
    if (strength_may_be_meant && !std::exchange(said_dilution_, true))
      findings_.say(place(row, at(Role::dilution)),
                    "a dilution is what was stirred into water to be read, no strength of what was added");
  }

  /// The time of a line, numbers with the units of their heads.
  std::string time_of(const CsvRow& row) const {
    std::string text;
    for (std::size_t i = 0; i < sheet_.columns.cells.size(); ++i)
      if (sheet_.columns.cells[i].role == Role::time)
        append(text, with_head_unit(cell_of(row, i), cell_of(sheet_.rows[sheet_.header], i)), " ");
    return text;
  }

  std::vector<std::string> all_times() const {
    std::vector<std::string> times;
    for (const auto& row : sheet_.rows_below_header()) times.push_back(time_of(row));
    return times;
  }

  void read_method(const CsvRow& row, LogLine& line) {
    const auto text = texts_of(row, Role::method, " ");
    if (is_nothing(text)) return;
    if (const auto method = formula::read_method(text)) {
      line.method = method->method, line.step_ph = method->step_ph;
      return;
    }
    append(line.note, cell_of(sheet_.rows[sheet_.header], at(Role::method)) + ": " + text, "; ");
    if (said_methods_.insert(text).second)
      findings_.say(place(row, at(Role::method)),
                    fmt::format("the method {} is kept as a note; known are strip and meter, calibrated at one or "
                                "two points or not calibrated", shown(text)));
  }

  /// A reading of nobody knows which dilution is none.
  void read_dilution(const CsvRow& row, LogLine& line) {
    const auto position = at(Role::dilution);
    const auto text = cell_of(row, position);
    if (is_nothing(text)) return;
    const auto dilution =
        formula::read_dilution(text, dilution_unit_of(cell_of(sheet_.rows[sheet_.header], position)));
    if (!dilution) {
      line.ph.reset();
      return findings_.problem(place(row, position), shown(text) + " as dilution",
                               "how much was stirred into how much water, such as 10 g in 90 g, 1:10 or 10 %");
    }
    if (!(dilution->water_g > 0)) return;
    line.dilution_product_g = dilution->product_g, line.dilution_water_g = dilution->water_g;
    if (dilution->of_parts && !std::exchange(said_parts_, true))
      findings_.say(place(row, position),
                    fmt::format("{} is taken as 1 part in so many parts in all: {} g in {} g of water", shown(text),
                                text::format_number(dilution->product_g), text::format_number(dilution->water_g)));
  }

  std::string texts_of(const CsvRow& row, Role role, std::string_view between) const {
    std::string text;
    for (std::size_t i = 0; i < sheet_.columns.cells.size(); ++i) {
      if (sheet_.columns.cells[i].role == role) append(text, cell_of(row, i), between);
    }
    return text;
  }

  /// The notes, then what stands under heads that mean nothing here, each behind its head.
  std::string note_of(const CsvRow& row) const {
    auto note = texts_of(row, Role::note, "; ");
    for (std::size_t i = 0; i < sheet_.columns.cells.size(); ++i) {
      const auto text = cell_of(row, i);
      if (sheet_.columns.cells[i].role != Role::unknown || text.empty()) continue;
      const auto head = cell_of(sheet_.rows[sheet_.header], i);
      append(note, head.empty() ? text : head + ": " + text, "; ");
    }
    return note;
  }

  std::optional<double> ph_of(const CsvRow& row) {
    const auto text = cell_of(row, at(Role::ph));
    if (is_nothing(text)) return {};
    const auto read = read_declared_ph(text);
    if (read && read->low == read->high && !read->at_percent) return read->low;
    findings_.problem(place(row, at(Role::ph)), shown(text) + " as pH",
                      "one reading from 0 to 14, such as 7.74");
    return {};
  }

  std::optional<double> temperature_of(const CsvRow& row) {
    const auto position = at(Role::temperature);
    const auto text = cell_of(row, position);
    if (is_nothing(text)) return {};
    if (const auto celsius = read_celsius(text, marks_)) return celsius;
    findings_.problem(place(row, position), shown(text) + " as temperature",
                      "a temperature of 0 to 100 °C");
    return {};
  }

  bool check_size() {
    const auto lines = log_.lines.size();
    if (lines == 0 && findings_.problems.empty()) {
      findings_.problem({findings_.file, 0, 0}, "no lines", "at least one line with grams or a pH");
    }
    if (lines > most_lines) {
      findings_.problem({findings_.file, 0, 0}, fmt::format("{} lines", lines),
                        fmt::format("at most {}", most_lines));
    }
    return lines > 0 && lines <= most_lines;
  }

  /// Whether there is a reading or an addition beside the faults.
  bool is_of_use() const {
    return findings_.problems.empty() || std::ranges::any_of(log_.lines, [](const LogLine& line) {
             return line.ph || (line.grams && !line.ingredient.empty());
           });
  }

  const Sheet& sheet_;
  const LogText& text_;
  text::DecimalMarks marks_;
  ReadingLog& log_;
  Findings& findings_;
  LogClock clock_;
  AdditionReader additions_;
  bool doubtful_ = false;  ///< not all that was weighed in is known
  bool said_parts_ = false, said_dilution_ = false;
  std::set<std::string> said_methods_;
};

/// The lines that have faults, each once.
std::vector<BrokenLine> broken_lines(const std::vector<Problem>& problems, const LogText& text) {
  std::set<std::size_t> numbers;
  for (const auto& problem : problems) numbers.insert(problem.place.line);
  std::vector<BrokenLine> broken;
  for (const auto line : numbers)
    if (line > 0 && line <= text.lines.size())
      broken.push_back({{problems.front().place.file, line, 0}, text.lines[line - 1]});
  return broken;
}

}  // namespace
}  // namespace formula

ReadingLog read_reading_log(std::string_view text, const std::string& file, const Tables& tables,
                            std::string_view with) {
  formula::Findings findings;
  findings.file = file;
  ReadingLog log;
  const auto decoded = formula::log_text_of(text, formula::log_file, findings);
  const auto faults = findings.problems.size();
  const auto sheet = formula::find_sheet(decoded.text, formula::log_table, findings);
  const bool whole = findings.problems.size() == faults;
  const bool fine = sheet && formula::LogReader(*sheet, decoded, tables, with, log, findings).read();
  if (!whole || !fine) formula::conclude(findings);
  formula::sort_by_place(findings);
  log.broken = formula::broken_lines(findings.problems, decoded);
  log.problems = std::move(findings.problems);
  log.diagnostics = std::move(findings.diagnostics);
  return log;
}

ReadingLog read_reading_log_file(const std::filesystem::path& path, const Tables& tables, std::string_view with) {
  return read_reading_log(formula::bytes_of(path, formula::log_file), path.string(), tables, with);
}

void require_sound(const ReadingLog& log) {
  formula::Findings findings;
  findings.problems = log.problems;
  if (!findings.problems.empty()) findings.file = findings.problems.front().place.file;
  formula::conclude(findings);
}

}  // namespace counterion
