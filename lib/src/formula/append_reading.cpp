// SPDX-License-Identifier: MIT
#include <counterion/formula/reading_log.hpp>

#include "header.hpp"
#include "log_columns.hpp"
#include "log_methods.hpp"
#include "log_text.hpp"
#include "log_times.hpp"
#include "words.hpp"

#include <counterion/text/names.hpp>
#include <counterion/text/utf8.hpp>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <fmt/format.h>
#include <memory>
#include <random>
#include <system_error>

namespace counterion {
namespace formula {
namespace {

namespace fs = std::filesystem;

constexpr FileKind log_file{"a CSV file", "a log"};
constexpr std::string_view new_header =
    "Time,Added,Strength,Grams,pH,Temperature,Method,Dilution,Note\n";
constexpr std::size_t longest_text = 1000;  // bytes

[[noreturn]] void refuse(const fs::path& path, std::string found, std::string expected) {
  std::vector<Problem> problems;
  add_problem(problems, {path.string(), 0, 0}, std::move(found), std::move(expected));
  throw BadInput(std::move(problems));
}

// ---- what is to be written ----

/// Faults of values that mean nothing in any log.
class ValueCheck {
 public:
  ValueCheck(const fs::path& path, const NewReading& reading)
      : reading_(reading), place_{path.string(), 0, 0} {}

  void run() {
    if (!reading_.ph && !reading_.grams) fault("neither a pH nor grams", "one of them");
    number("pH", reading_.ph, 0, 14);
    number("temperature", reading_.temperature_celsius, 0, 100);
    above_zero("strength", reading_.strength_percent, 100);
    above_zero("grams", reading_.grams, 1e9);
    if (reading_.strength_percent && !reading_.grams)
      fault("a strength without grams", "grams, or no strength");
    if (!is_no_addition(reading_.added) && !reading_.grams)
      fault("no grams for " + shown(reading_.added), "grams");
    for (const auto* text :
         {&reading_.time, &reading_.added, &reading_.method, &reading_.dilution, &reading_.note})
      check_text(*text);
    if (!reading_.method.empty() && !read_method(reading_.method))
      fault(shown(reading_.method) + " as method",
            "strip or meter, calibrated at one or two points or not calibrated");
    if (!reading_.dilution.empty() && !read_dilution(reading_.dilution, DilutionUnit::none))
      fault(shown(reading_.dilution) + " as dilution", "such as 10 g in 90 g, 1:10 or 10 %");
    if (!problems_.empty()) throw BadInput(std::move(problems_));
  }

 private:
  void fault(std::string found, std::string expected) {
    add_problem(problems_, place_, std::move(found), std::move(expected));
  }
  void number(const char* name, std::optional<double> value, double least, double most) {
    if (value && !(*value >= least && *value <= most))
      fault(fmt::format("{} as {}", *value, name), fmt::format("{:g} to {:g}", least, most));
  }
  void above_zero(const char* name, std::optional<double> value, double most) {
    constexpr double least = 1e-6;  // what is written has six decimals
    if (value && !(*value >= least && *value <= most))
      fault(fmt::format("{} as {}", *value, name), fmt::format("above 0 and at most {:g}", most));
  }
  void check_text(const std::string& text) {
    const bool control = std::ranges::any_of(text, [](char c) {
      return static_cast<unsigned char>(c) < 0x20 ? c != '\n' && c != '\r' && c != '\t' : c == 0x7F;
    });
    if (control || !text::is_utf8(text)) fault("bytes that are no text", "plain text in UTF-8");
    if (text.size() > longest_text) fault("a text of more than 1000 bytes", "a shorter one");
  }

  const NewReading& reading_;
  Place place_;
  std::vector<Problem> problems_;
};

std::string on_one_line(std::string text) {
  std::ranges::replace_if(
      text, [](char c) { return c == '\n' || c == '\r' || c == '\t'; }, ' ');
  return std::string(text::trim(text));
}

// ---- the file as it is ----

bool is_header(const Columns& columns) {
  return columns.has(Role::ph);
}
bool is_near(const Columns& columns) {
  return columns.known() > 0;
}
std::string lacks(const Columns&) {
  return "a column of pH readings (pH, pH value or pH-Wert)";
}
constexpr TableKind log_table{read_log_header_cell, is_header, is_near, lacks, "no lines"};

/// How a file is written.
struct Dialect {
  char delimiter = ',';
  bool decimal_comma = false;
  std::string line_end = "\n";
  bool ends_inside_a_line = false;
  text::Encoding encoding = text::Encoding::utf8;
  Columns columns;
  std::vector<std::string> heads;
};

std::string line_end_of(std::string_view text) {
  const auto end = text.find_first_of("\r\n");
  if (end == text.npos || text[end] == '\n') return "\n";
  return text.substr(end).starts_with("\r\n") ? "\r\n" : "\r";
}

/// A file of which only single lines are no UTF-8 goes on in UTF-8.
text::Encoding encoding_of(const std::string& bytes, const fs::path& path) {
  try {
    const auto encoding = text::decode(bytes, path.string()).encoding;
    if (encoding != text::Encoding::windows_1252) return encoding;
  } catch (const BadInput&) {
    return text::Encoding::utf8;
  }
  const auto lines = lines_of(bytes);
  const bool mixed = std::ranges::any_of(lines, [](std::string_view line) {
    return text::is_utf8(line) &&
           std::ranges::any_of(line, [](char c) { return static_cast<signed char>(c) < 0; });
  });
  return mixed ? text::Encoding::utf8 : text::Encoding::windows_1252;
}

Dialect dialect_of(const std::string& bytes, const fs::path& path) {
  Findings findings;
  findings.file = path.string();
  const auto log = log_text_of(bytes, log_file, findings);
  const auto sheet = find_sheet(log.text, log_table, findings);
  if (!sheet) throw BadInput(std::move(findings.problems));
  const auto marks = sheet->decimal_marks_in(
      {Role::grams, Role::total, Role::strength, Role::ph, Role::temperature});
  Dialect dialect;
  dialect.encoding = encoding_of(bytes, path);
  const auto text =
      dialect.encoding == text::Encoding::utf8 ? bytes : text::decode(bytes, path.string()).text;
  dialect.delimiter = sheet->delimiter;
  dialect.decimal_comma = marks.comma && !marks.point;
  dialect.line_end = line_end_of(text);
  dialect.ends_inside_a_line = !text.empty() && !text.ends_with('\n') && !text.ends_with('\r');
  dialect.columns = sheet->columns;
  for (const auto& cell : sheet->rows[sheet->header]) dialect.heads.push_back(cell.text);
  return dialect;
}

// ---- the line ----

std::string in_encoding(const std::string& text, text::Encoding encoding, const fs::path& path) {
  if (encoding == text::Encoding::utf8) return text;
  std::string bytes;
  for (std::string_view rest = text; !rest.empty();) {
    const auto point = text::take_code_point(rest);
    if (encoding == text::Encoding::windows_1252) {
      if (point > 0xFF || (point >= 0x80 && point < 0xA0))
        refuse(path, "a text with letters that Windows-1252, which the file is in, may not have",
               "a file in UTF-8, or plain letters");
      bytes += static_cast<char>(point);
      continue;
    }
    if (point > 0xFFFF)
      refuse(path, "a sign beyond the plain letters", "plain letters, as the file is in UTF-16");
    const char low = static_cast<char>(point & 0xFFU), high = static_cast<char>(point >> 8U);
    const bool little = encoding == text::Encoding::utf16_little_endian;
    bytes += little ? low : high, bytes += little ? high : low;
  }
  return bytes;
}

class LineWriter {
 public:
  LineWriter(const Dialect& dialect, const NewReading& reading, double grams_before,
             const fs::path& path)
      : dialect_(dialect),
        reading_(reading),
        path_(path),
        cells_(dialect.columns.cells.size()),
        grams_before_(grams_before) {}

  std::string line() {
    put("time", Role::time, on_one_line(reading_.time));
    put_name();
    put_number("a strength", Role::strength, reading_.strength_percent, 1);
    put_weight();
    put_number("a pH", Role::ph, reading_.ph, 1);
    put_number("a temperature", Role::temperature, reading_.temperature_celsius, 1);
    put("a method", Role::method, on_one_line(reading_.method));
    put("a dilution", Role::dilution, on_one_line(reading_.dilution));
    put("a note", Role::note, on_one_line(reading_.note));
    if (!problems_.empty()) throw BadInput(std::move(problems_));
    std::string text = dialect_.ends_inside_a_line ? dialect_.line_end : std::string();
    for (std::size_t i = 0; i < cells_.size(); ++i)
      text += (i > 0 ? std::string(1, dialect_.delimiter) : std::string()) + quoted(cells_[i]);
    return text + dialect_.line_end;
  }

 private:
  Position at(Role role) const { return dialect_.columns.position(role); }
  void lack(const std::string& what) {
    add_problem(problems_, {path_.string(), 0, 0}, what + ", for which the log has no column",
                "a column for it in the header; the columns are " + list_words(dialect_.heads));
  }
  void put(const std::string& what, Role role, std::string text) {
    if (text.empty()) return;
    if (!at(role)) return lack(what);
    cells_[*at(role)] = std::move(text);
  }
  void put_number(const std::string& what, Role role, std::optional<double> value, double unit) {
    if (value) put(what, role, number(*value / unit));
  }
  /// The name of what was added; a log without names has a line that says it for all.
  void put_name() {
    if (is_no_addition(reading_.added)) return;
    for (const auto role : {Role::inci, Role::ingredient, Role::trade_name})
      if (at(role)) return put("a name", role, on_one_line(reading_.added));
  }
  /// Grams since the line before, and the total so far where the log has one.
  void put_weight() {
    if (!reading_.grams) return;
    if (!at(Role::grams) && !at(Role::total)) return lack("grams");
    const auto unit = [&](Role role) { return dialect_.columns.cells[*at(role)].grams_per_unit; };
    if (at(Role::grams)) put_number("grams", Role::grams, reading_.grams, unit(Role::grams));
    if (at(Role::total))
      put_number("grams", Role::total, grams_before_ + *reading_.grams, unit(Role::total));
  }
  std::string number(double value) const {
    constexpr int decimals = 9;  // micrograms also in a column of kilograms
    auto text = text::format_number(value, decimals);
    if (dialect_.decimal_comma) std::ranges::replace(text, '.', ',');
    return text;
  }
  std::string quoted(const std::string& cell) const {
    const bool plain = cell.find_first_of(std::string("\"") + dialect_.delimiter) == cell.npos;
    if (plain) return cell;
    std::string text = "\"";
    for (const char c : cell) text += c == '"' ? std::string("\"\"") : std::string(1, c);
    return text + '"';
  }

  const Dialect& dialect_;
  const NewReading& reading_;
  const fs::path& path_;
  std::vector<std::string> cells_;
  double grams_before_ = 0;
  std::vector<Problem> problems_;
};

/// The total of what was weighed in before; a total cannot go on where a line before is at fault.
double grams_of(const ReadingLog& log, const Dialect& dialect, const fs::path& path) {
  double grams = 0;
  for (const auto& line : log.lines) grams += line.grams.value_or(0);
  const bool doubtful = !log.lines.empty() && log.lines.back().after_broken_addition;
  if (doubtful && dialect.columns.has(Role::total))
    refuse(path, "totals of grams after lines with faults", "sound lines before a total goes on");
  return grams;
}

// ---- reading back ----

bool agree(std::optional<double> read, std::optional<double> meant) {
  if (!read || !meant) return !read && !meant;
  return std::abs(*read - *meant) <= 1e-6 * std::abs(*meant) + 2e-6;
}

/// Whether a line says what was meant; names and strengths mean what they mean anywhere.
bool says(const LogLine& line, const NewReading& meant) {
  const bool dilutes =
      !meant.dilution.empty() && read_dilution(meant.dilution, DilutionUnit::none)->water_g > 0;
  return agree(line.ph, meant.ph) && agree(line.grams, meant.grams) &&
         agree(line.temperature_celsius, meant.temperature_celsius) &&
         line.time == on_one_line(meant.time) && line.ingredient.empty() == !meant.grams &&
         line.method.has_value() == !meant.method.empty() &&
         line.dilution_water_g.has_value() == dilutes;
}

/// The stock that a name means by itself.
LogLine stock_meant(const NewReading& meant, const Tables& tables) {
  const auto strength =
      meant.strength_percent ? text::format_number(*meant.strength_percent, 9) : std::string();
  std::string name = on_one_line(meant.added), quoted;
  for (const char c : name) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
  const auto log = read_reading_log(
      "Added,Strength,g,pH\n\"" + quoted + "\"," + strength + ",1,7\n", "what was added", tables);
  require_sound(log);
  return log.lines.at(0);
}

void check_stock(const LogLine& line, const NewReading& meant, const fs::path& path,
                 const Tables& tables) {
  if (!meant.grams || is_no_addition(meant.added)) return;
  const auto stock = stock_meant(meant, tables);
  if (stock.ingredient != line.ingredient || stock.stock_percent != line.stock_percent)
    refuse(path,
           fmt::format("{} in a log whose lines are of {}", shown(meant.added), shown(line.added)),
           "a column of what was added");
}

/// The last line of a text with the new one behind it; throws where that is not what was meant.
LogLine tried(const std::string& bytes, std::size_t faults, const NewReading& meant,
              const fs::path& path, const Tables& tables, std::string_view with) {
  const auto log = read_reading_log(bytes, path.string(), tables, with);
  if (log.problems.size() > faults) throw BadInput({log.problems.back()});
  if (log.lines.empty() || !says(log.lines.back(), meant))
    refuse(path, "a line that would not read back as it was meant",
           "values that the log's columns can hold");
  check_stock(log.lines.back(), meant, path, tables);
  return log.lines.back();
}

/// What a log is before the line: how many faults, how many grams.
struct Before {
  std::size_t faults = 0;
  double grams = 0;
};

/// A log with a header alone has no lines yet.
Before before_line(const std::string& bytes, const Dialect& dialect, const fs::path& path,
                   const Tables& tables, std::string_view with) {
  try {
    const auto log = read_reading_log(bytes, path.string(), tables, with);
    return {log.problems.size(), grams_of(log, dialect, path)};
  } catch (const BadInput& error) {
    const bool no_lines = error.problems().size() == 1 && error.problems()[0].found == "no lines";
    if (!no_lines) throw;
    return {};
  }
}

/// Writes at the end of a file with one write; what stands there is not touched.
bool write_at_end(const fs::path& path, const std::string& bytes, const char* mode) {
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(
      std::fopen(path.string().c_str(), mode), &std::fclose);
  if (!file) return false;
  std::setvbuf(file.get(), nullptr, _IOFBF, bytes.size() + 1);
  const bool written = std::fwrite(bytes.data(), 1, bytes.size(), file.get()) == bytes.size();
  return std::fflush(file.get()) == 0 && written;
}

/// Makes a file with all that it shall hold at once; false where there is one by now.
bool make_file(const fs::path& path, const std::string& bytes) {
  auto unfinished = path;
  unfinished += fmt::format(".{:x}.new", std::random_device{}());
  if (!write_at_end(unfinished, bytes, "wb"))
    refuse(path, "a file that cannot be made", "a folder that you may write to");
  std::error_code linked, ignored;
  fs::create_hard_link(unfinished, path, linked);
  fs::remove(unfinished, ignored);
  if (!linked) return true;
  if (fs::exists(path, ignored)) return false;
  if (write_at_end(path, bytes, "wbx")) return true;
  if (fs::exists(path, ignored)) return false;
  refuse(path, "a file that cannot be made", "a folder that you may write to");
}

/// The line as it stands in the file now, among those that others have written since.
LogLine read_back(const fs::path& path, const NewReading& meant, const Tables& tables,
                  std::string_view with) {
  const auto log = read_reading_log_file(path, tables, with);
  const auto found = std::ranges::find_if(log.lines.rbegin(), log.lines.rend(),
                                          [&](const LogLine& line) { return says(line, meant); });
  if (found == log.lines.rend())
    refuse(path, "a line that does not read back as it was meant", "a file that holds it");
  return *found;
}

}  // namespace
}  // namespace formula

LogLine append_reading(const std::filesystem::path& path, const NewReading& reading,
                       const Tables& tables, std::string_view with) {
  using namespace formula;
  ValueCheck(path, reading).run();
  std::error_code error;
  if (std::filesystem::status(path, error).type() == std::filesystem::file_type::not_found) {
    const std::string head(new_header);
    const auto text = head + LineWriter(dialect_of(head, path), reading, 0, path).line();
    tried(text, 0, reading, path, tables, with);
    if (make_file(path, text)) return read_back(path, reading, tables, with);
  }
  const auto bytes = bytes_of(path, log_file);
  const auto dialect = dialect_of(bytes, path);
  const auto before = before_line(bytes, dialect, path, tables, with);
  const auto line =
      in_encoding(LineWriter(dialect, reading, before.grams, path).line(), dialect.encoding, path);
  tried(bytes + line, before.faults, reading, path, tables, with);
  if (!write_at_end(path, line, "ab"))
    refuse(path, "a file that cannot be written", "a file that you may write");
  return read_back(path, reading, tables, with);
}

}  // namespace counterion
