// SPDX-License-Identifier: MIT
#include <counterion/formula/reading_log.hpp>

#include "additions.hpp"
#include "amount.hpp"
#include "draft.hpp"
#include "header.hpp"
#include "log_columns.hpp"
#include "source.hpp"
#include "words.hpp"

#include <counterion/text/names.hpp>

#include <algorithm>
#include <fmt/format.h>

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
  return role == Role::note || role == Role::unknown || role == Role::time ||
         role == Role::volume || role == Role::unclear;
}

class LogReader {
 public:
  LogReader(const Sheet& sheet, const Tables& tables, std::string_view with, ReadingLog& log, Findings& findings)
      : sheet_(sheet),
        marks_(sheet.decimal_marks_in(
            {Role::grams, Role::total, Role::strength, Role::ph, Role::temperature})),
        log_(log),
        findings_(findings),
        additions_(sheet, marks_, tables, findings) {
    if (!with.empty()) additions_.set_usual_name(std::string(with), {});
  }

  void read() {
    check_columns();
    for (const auto& row : sheet_.rows) {
      if (is_remark(row)) read_remark(row);
    }
    for (const auto role : {Role::grams, Role::total}) say_unit(at(role));
    for (const auto& row : sheet_.rows_below_header()) read_row(row);
    additions_.conclude();
    check_size();
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
    const bool known = key == "with" || key == "sample" || key == "batch";
    auto& value = log_.header[key];
    if (known && !value.empty()) {
      return findings_.problem(place(row), fmt::format("a second '{}'", key), "one for the whole log");
    }
    append(value, property->value, "; ");
    if (key == "with") additions_.set_usual_name(value, place(row));
    if (key == "sample") log_.sample_g = mass_property(key, value, place(row), findings_);
    if (key == "batch") log_.batch_g = mass_property(key, value, place(row), findings_);
  }

  // ---- lines ----

  void read_row(const CsvRow& row) {
    const bool empty = std::ranges::all_of(row, [](const auto& one) { return is_nothing(one.text); });
    if (empty || is_remark(row)) return;
    if (is_total(row) && is_nothing(cell_of(row, at(Role::ph))))
      return findings_.say(place(row), "a line of totals is not read");
    check_width(sheet_, row, findings_);
    LogLine line;
    line.place = place(row);
    line.time = texts_of(row, Role::time, " ");
    line.note = note_of(row);
    line.ph = ph_of(row);
    line.temperature_celsius = temperature_of(row);
    additions_.read(row, line);
    log_.lines.push_back(std::move(line));
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
    static const WordSet units{"", "c", "degc", "celsius", "grad", "gradc", "gradcelsius", "deg"};
    const auto number = text::read_number(text, marks_).number;
    const bool fine = number && units.contains(text::normalise(number->unit)) &&
                      number->value >= 0 && number->value <= 100;
    if (fine) return number->value;
    findings_.problem(place(row, position), shown(text) + " as temperature",
                      "a temperature of 0 to 100 °C");
    return {};
  }

  void check_size() {
    const auto lines = log_.lines.size();
    if (lines == 0 && findings_.problems.empty()) {
      findings_.problem({findings_.file, 0, 0}, "no lines", "at least one line with grams or a pH");
    }
    if (lines > most_lines) {
      findings_.problem({findings_.file, 0, 0}, fmt::format("{} lines", lines),
                        fmt::format("at most {}", most_lines));
    }
  }

  const Sheet& sheet_;
  text::DecimalMarks marks_;
  ReadingLog& log_;
  Findings& findings_;
  AdditionReader additions_;
};

}  // namespace
}  // namespace formula

ReadingLog read_reading_log(std::string_view text, const std::string& file, const Tables& tables,
                            std::string_view with) {
  formula::Findings findings;
  findings.file = file;
  ReadingLog log;
  const auto decoded = formula::text_of(text, formula::log_file, findings);
  const auto sheet = formula::find_sheet(decoded, formula::log_table, findings);
  if (sheet) formula::LogReader(*sheet, tables, with, log, findings).read();
  formula::conclude(findings);
  log.diagnostics = std::move(findings.diagnostics);
  return log;
}

ReadingLog read_reading_log_file(const std::filesystem::path& path, const Tables& tables, std::string_view with) {
  return read_reading_log(formula::bytes_of(path, formula::log_file), path.string(), tables, with);
}

}  // namespace counterion
