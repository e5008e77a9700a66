// SPDX-License-Identifier: MIT
#include <counterion/formula/reading_log.hpp>

#include "amount.hpp"
#include "draft.hpp"
#include "header.hpp"
#include "log_columns.hpp"
#include "source.hpp"
#include "stock.hpp"
#include "words.hpp"

#include <counterion/text/names.hpp>

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace counterion {
namespace formula {
namespace {

using text::CsvRow;
using text::format_number;

constexpr FileKind log_file{"a CSV file", "a log"};
constexpr std::size_t most_lines = 1000;
constexpr std::size_t longest_shown = 80;   // bytes of a cell in a message
constexpr std::size_t most_words_of_a_name = 8;  // a longer cell without grams is prose
constexpr double most_grams = 1e9;
constexpr std::string_view example = "a line such as '# with: citric acid 20 %'";

std::string shown(const std::string& text) {
  return text.size() > longest_shown ? "a long text" : fmt::format("'{}'", text);
}

void append(std::string& text, const std::string& more, std::string_view between) {
  if (!text.empty() && !more.empty()) text += between;
  text += more;
}

/// The difference of two weights as people write them, without what binary digits leave.
double difference(double weight, double other) {
  constexpr double parts = 1e6;  // in a gram
  return std::round((weight - other) * parts) / parts;
}

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

/// A weight understood; `given` also where it is at fault.
struct Weighed {
  bool given = false;
  bool from_total = false;
  std::optional<double> grams;
};

/// The name that holds for all lines without one.
struct UsualName {
  std::string name;
  Place place;
  bool looked_up = false;        ///< in any line
  bool looked_up_alone = false;  ///< without a strength beside it
};

class LogReader {
 public:
  LogReader(const Sheet& sheet, const Tables& tables, std::string_view with, ReadingLog& log, Findings& findings)
      : sheet_(sheet), log_(log), findings_(findings), stocks_(tables) {
    if (!with.empty()) usual_.name = with;
  }

  void read() {
    check_columns();
    for (const auto& row : sheet_.rows) {
      if (is_remark(row)) read_remark(row);
    }
    marks_ = sheet_.decimal_marks_in(
        {Role::grams, Role::total, Role::strength, Role::ph, Role::temperature});
    for (const auto role : {Role::grams, Role::total}) say_unit(at(role));
    for (const auto& row : sheet_.rows_below_header()) read_row(row);
    if (!usual_.name.empty() && !usual_.looked_up) look_up_usual();
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
                                    "Strength, what it was under Added or in {}", example));
    } else if (first != i && !may_be_repeated(role)) {
      findings_.problem(place(head, i),
                        fmt::format("the column {} beside {}", text, shown(cell_of(head, first))),
                        "one of them, or another head");
    } else if (role == Role::unknown && cell_of(head, i).size() > 0) {
      say_of_column(sheet_, i, "is kept as a note", findings_);
    }
  }

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
    if (key == "with") usual_ = {value, place(row), false, false};
    if (key == "sample") log_.sample_g = mass_property(key, value, place(row), findings_);
    if (key == "batch") log_.batch_g = mass_property(key, value, place(row), findings_);
  }

  // ---- lines ----

  void read_row(const CsvRow& row) {
    const bool empty = std::ranges::all_of(row, [](const auto& one) { return is_nothing(one.text); });
    if (empty || is_remark(row)) return;
    check_width(sheet_, row, findings_);
    LogLine line;
    line.place = place(row);
    line.time = texts_of(row, Role::time, " ");
    line.note = note_of(row);
    line.ph = ph_of(row);
    line.temperature_celsius = temperature_of(row);
    read_addition(row, line);
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

  // ---- what was weighed in ----

  void read_addition(const CsvRow& row, LogLine& line) {
    const auto weighed = weigh(row);
    const auto named = sheet_.name_position(row);
    const auto name = cell_of(row, named);
    const auto strength = strength_in(row, at(Role::strength), marks_, findings_);
    const bool adds = weighed.given && !(weighed.grams && *weighed.grams == 0);
    if (!adds && (weighed.given || is_no_addition(name) || is_prose(name))) {
      if (!is_nothing(name)) append(line.note, name, "; ");
      return;
    }
    if (!adds) {
      findings_.problem(place(row, grams_position()), fmt::format("no grams for {}", shown(name)),
                        "the grams that were weighed in, 0 where nothing was");
    }
    line.grams = weighed.grams;
    line.added = is_nothing(name) ? usual_.name : name;
    if (const auto stock = stock_of(row, is_nothing(name), line.added, strength)) {
      line.ingredient = stock->ingredient;
      line.stock_percent = stock->percent;
      if (weighed.from_total) check_same_stock(row, *stock);
    }
  }

  static bool is_prose(const std::string& name) {
    return words_of(name).size() > most_words_of_a_name;
  }

  Position grams_position() const { return at(Role::grams) ? at(Role::grams) : at(Role::total); }

  std::optional<Stock> stock_of(const CsvRow& row, bool usual, const std::string& name,
                                std::optional<double> strength) {
    if (name.empty()) {
      findings_.problem(place(row, grams_position()), "grams of nothing that has a name",
                        fmt::format("what was added, on the line or in {}", example));
      return {};
    }
    if (usual && !strength) return look_up_usual();
    if (usual) usual_.looked_up = true;
    return look_up(name, strength, place(row, usual ? at(Role::strength) : sheet_.name_position(row)));
  }

  std::optional<Stock> look_up(const std::string& name, std::optional<double> strength,
                               const Place& where) {
    const auto& reading = stocks_.read(name, strength);
    if (!reading.stock) {
      auto fault = reading.fault;
      fault.place = where;
      findings_.problems.push_back(std::move(fault));
    }
    return reading.stock;
  }

  /// The stock of all lines without a name; its fault is told once, where it stands.
  std::optional<Stock> look_up_usual() {
    if (usual_.looked_up_alone) return stocks_.read(usual_.name, {}).stock;
    usual_.looked_up = usual_.looked_up_alone = true;
    return look_up(usual_.name, {}, usual_.place);
  }

  Weighed weigh(const CsvRow& row) {
    const auto own = weight_in(row, at(Role::grams));
    const auto total = weight_in(row, at(Role::total));
    if (own.given || !total.given) {
      so_far_ += own.grams.value_or(0);
      if (own.grams && total.grams) check_total(row, *total.grams);
      return own;
    }
    return total.grams ? since_before(row, *total.grams) : total;
  }

  Weighed weight_in(const CsvRow& row, Position position) {
    if (!position) return {};
    const auto text = cell_of(row, position);
    const auto amount = read_amount(text, marks_);
    if (amount.kind == AmountKind::empty) return {};
    const auto factor = amount.unit == Unit::none ? sheet_.columns.cells[*position].grams_per_unit : 1;
    const auto grams = amount.value * factor;
    const bool is_mass = amount.kind == AmountKind::number && amount.unit != Unit::percent;
    if (is_mass && grams <= most_grams) return {true, false, grams};
    const bool told = amount.kind == AmountKind::fault;
    findings_.problem(place(row, position),
                      told ? amount.fault : shown(text) + " as what was weighed in",
                      "grams, 0 or more");
    return {true, false, {}};
  }

  Weighed since_before(const CsvRow& row, double total) {
    const auto grams = difference(total, so_far_);
    if (grams < 0) {
      findings_.problem(place(row, at(Role::total)),
                        fmt::format("a total of {} g after {} g", format_number(total, 6),
                                    format_number(so_far_, 6)),
                        "a total that does not fall");
    }
    so_far_ = total;
    return {true, true, grams < 0 ? std::nullopt : std::optional(grams)};
  }

  void check_total(const CsvRow& row, double total) {
    if (std::abs(total - so_far_) <= 0.0005 * total + 1e-6) return;
    findings_.say(place(row, at(Role::total)),
                  fmt::format("the stated total, {} g, is not the sum so far, {} g; the grams of the "
                              "lines are taken",
                              format_number(total), format_number(so_far_)));
  }

  void check_same_stock(const CsvRow& row, const Stock& stock) {
    if (!of_totals_) of_totals_ = stock;
    if (*of_totals_ == stock) return;
    findings_.problem(place(row, at(Role::total)), "a total over two things that were added",
                      "a column of grams since the line before");
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
  ReadingLog& log_;
  Findings& findings_;
  StockReader stocks_;
  text::DecimalMarks marks_;
  UsualName usual_;
  double so_far_ = 0;  ///< grams of all lines
  std::optional<Stock> of_totals_;
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
