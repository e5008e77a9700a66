// SPDX-License-Identifier: MIT
#include <counterion/batch/lots.hpp>
#include <counterion/batch/material.hpp>
#include <counterion/batch/moved_phase.hpp>
#include <counterion/text/csv.hpp>
#include <counterion/text/number.hpp>
#include <counterion/text/utf8.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <iterator>
#include <random>
#include <set>
#include <system_error>

namespace counterion {
namespace {

namespace fs = std::filesystem;

constexpr double meq_per_mol = 1000;

// ---- what was learned ----

/// Whether an interval lies on one side of nothing: its logarithm counts then.
bool has_one_sign(double low, double high) {
  return low * high > 0;
}

/// Width of an interval, of its logarithm where the sign is sure.
double width_of(double low, double high, bool of_logarithm) {
  if (of_logarithm && has_one_sign(low, high)) return std::abs(std::log(high / low));
  return high - low;
}

/// The residual charge of one line after the readings.
struct LineCharge {
  double grams = 0;             ///< per kg of water
  double middle = 0, half = 0;  ///< mol/kg of water; the half width that is left with all else open
};

/// The share of a driver's interval that readings left.
double share_left_of(std::size_t driver, const WaterPhase& phase) {
  double left = 1;
  for (const auto& direction : phase.learned) left -= direction[driver] * direction[driver];
  return std::sqrt(std::max(0.0, left));
}

class LotReader {
 public:
  LotReader(const Calibration& calibration, const Formula& formula, const Tables& tables)
      : calibration_(calibration), formula_(formula), tables_(tables) {}

  std::vector<LearnedLot> run() {
    std::vector<LearnedLot> lots;
    std::set<std::string> seen;
    if (!calibration_.phase) return lots;
    for (std::size_t i = 0; i < formula_.items.size(); ++i) {
      const auto& item = formula_.items[i];
      if (!item.listed() || !driver_of(i) || !seen.insert(item.ingredient).second) continue;
      lots.push_back(lot_of(i));
    }
    return lots;
  }

 private:
  const WaterPhase& phase() const { return *calibration_.phase; }
  std::optional<std::size_t> driver_of(std::size_t item) const {
    for (std::size_t d = 0; d < phase().drivers.size(); ++d)
      if (phase().drivers[d].kind == DriverKind::residual_charge && phase().drivers[d].item == item)
        return d;
    return {};
  }
  LineCharge charge_of(std::size_t item) const {
    const double grams = calibration_.formula.items[item].percent / phase().water_percent * 1000;
    const auto driver = driver_of(item);
    if (!driver) return {grams, phase().residual_mol_per_kg[item], 0};
    const double half = 0.5 * (phase().drivers[*driver].high - phase().drivers[*driver].low);
    return {grams, phase().residual_mol_per_kg[item], half * share_left_of(*driver, phase())};
  }
  /// Of all lines of a material together: they are one lot, so that their ± do not cancel.
  LineCharge charge_of(const std::string& ingredient) const {
    LineCharge sum;
    for (std::size_t i = 0; i < formula_.items.size(); ++i) {
      if (formula_.items[i].ingredient != ingredient) continue;
      const auto one = charge_of(i);
      sum.grams += one.grams, sum.middle += one.middle, sum.half += one.half;
    }
    return sum;
  }
  LearnedLot lot_of(std::size_t item) const {
    LearnedLot lot;
    lot.item = item;
    lot.ingredient = formula_.items[item].ingredient;
    lot.name = tables_.display_name(lot.ingredient);
    set_prior(item, lot);
    const auto charge = charge_of(lot.ingredient);
    if (!(charge.grams > 0)) return lot.why_not = "there was nothing of it in the batch", lot;
    set_interval(charge.middle / charge.grams * meq_per_mol,
                 charge.half / charge.grams * meq_per_mol, lot);
    judge(item, lot);
    return lot;
  }
  void set_prior(std::size_t item, LearnedLot& lot) const {
    const auto residual = material_of(formula_.items[item], tables_).residual;
    lot.prior_low = residual.low_mol_per_g * meq_per_mol;
    lot.prior_middle = residual.middle_mol_per_g * meq_per_mol;
    lot.prior_high = residual.high_mol_per_g * meq_per_mol;
    lot.low = lot.prior_low, lot.middle = lot.prior_middle, lot.high = lot.prior_high;
  }
  /// Where the sign was sure before, the half width is a step of the logarithm.
  static void set_interval(double middle, double half, LearnedLot& lot) {
    const bool logarithm =
        has_one_sign(lot.prior_low, lot.prior_high) && middle * lot.prior_low > 0;
    lot.middle = middle;
    const double factor = logarithm ? std::exp(half / std::abs(middle)) : 1;
    lot.low = logarithm ? std::min(middle / factor, middle * factor) : middle - half;
    lot.high = logarithm ? std::max(middle / factor, middle * factor) : middle + half;
    lot.share_left =
        width_of(lot.low, lot.high, logarithm) / width_of(lot.prior_low, lot.prior_high, logarithm);
  }
  void judge(std::size_t item, LearnedLot& lot) const {
    const double half = 0.5 * (lot.prior_high - lot.prior_low);
    const bool moved = std::abs(lot.middle - lot.prior_middle) >= 0.5 * half;
    if (calibration_.beyond_tables)
      lot.why_not = "the readings lie where the tables hardly allow them: find out why first";
    else if (formula_.items[item].declared_ph_low)
      lot.why_not = "the formula declares its pH, which goes before tables";
    else if (!tables_.titrations_of(lot.ingredient).empty())
      lot.why_not = "the tables have a titration of it, which says more";
    else if (lot.share_left > share_worth_keeping && !moved)
      lot.why_not = "the readings say hardly more of it than the tables";
    lot.worth_keeping = lot.why_not.empty();
  }

  const Calibration& calibration_;
  const Formula& formula_;
  const Tables& tables_;
};

// ---- rows ----

std::string quoted(const std::string& cell, char delimiter) {
  if (cell.find_first_of(std::string("\"\r\n") + delimiter) == cell.npos) return cell;
  std::string text = "\"";
  for (const char c : cell)
    text += c == '"' ? std::string("\"\"") : std::string(1, c == '\r' || c == '\n' ? ' ' : c);
  return text + '"';
}

std::string note_of(const LotOrigin& origin) {
  std::string note = "learned from the batch " +
                     (origin.batch.empty() ? std::string("without a name") : origin.batch);
  if (!origin.date.empty()) note += " on " + origin.date;
  for (std::size_t i = 0; i < origin.readings.size(); ++i)
    note += fmt::format("{}pH {:.2f}", i == 0 ? ": " : ", ", origin.readings[i].ph);
  return note;
}

/// A charge with four digits that count, as a table has it.
std::string number_of(double value, bool decimal_comma) {
  const double size = std::max(1e-9, std::abs(value));
  const int decimals = std::clamp(3 - static_cast<int>(std::floor(std::log10(size))), 0, 9);
  auto text = text::format_number(value, decimals);
  if (decimal_comma) std::ranges::replace(text, '.', ',');
  return text;
}

/// A cell of a lot's row in the column with this name.
std::string cell_of(const std::string& column, const LearnedLot& lot, const LotOrigin& origin,
                    bool decimal_comma) {
  if (column == "subject") return lot.ingredient;
  if (column == "kind") return "residual-charge";
  if (column == "value") return number_of(lot.low, decimal_comma);
  if (column == "upper_value") return number_of(lot.high, decimal_comma);
  if (column == "unit") return "meq_per_g";
  if (column == "reliability") return "own";
  return column == "note" ? note_of(origin) : std::string();
}

const std::vector<std::string> columns_of_lots{"subject", "kind",        "value", "upper_value",
                                               "unit",    "reliability", "note"};

/// The shape of a table that rows are written into.
struct Shape {
  std::vector<std::string> columns = columns_of_lots;
  char delimiter = ',';
  bool decimal_comma = false;
  std::string line_end = "\n";
};

std::string rows_of(std::span<const LearnedLot> lots, const LotOrigin& origin, const Shape& shape) {
  std::string text;
  for (const auto& lot : lots) {
    if (!lot.worth_keeping) continue;
    std::string row;
    for (const auto& column : shape.columns) {
      if (&column != &shape.columns.front()) row += shape.delimiter;
      row += quoted(cell_of(column, lot, origin, shape.decimal_comma), shape.delimiter);
    }
    text += row + shape.line_end;
  }
  return text;
}

// ---- a folder that has levels already ----

[[noreturn]] void refuse(const fs::path& path, std::string found, std::string expected,
                         std::size_t line = 0) {
  throw BadInput({{{path.string(), line, 0}, std::move(found), std::move(expected), {}}});
}

std::string bytes_of(const fs::path& path) {
  std::error_code error;
  if (!fs::is_regular_file(path, error)) refuse(path, "no regular file", "a CSV file");
  std::ifstream stream(path, std::ios::binary);
  std::string bytes{std::istreambuf_iterator<char>(stream), {}};
  if (!stream.is_open() || stream.bad())
    refuse(path, "a file that cannot be read", "a file that you may read");
  return bytes;
}

/// A table of levels with lots laid into it; all other rows keep their bytes.
class LevelsFile {
 public:
  LevelsFile(const fs::path& path, std::string bytes) : path_(path), bytes_(std::move(bytes)) {
    if (text::decode(bytes_, path.string()).encoding != text::Encoding::utf8)
      refuse(path, "a table in another encoding", "a table saved in UTF-8");
    find_lines();
    read_header();
  }

  std::string with(std::span<const LearnedLot> lots, const LotOrigin& origin,
                   KnownLots known) const {
    std::string text = bytes_.substr(0, rows_.empty() ? bytes_.size() : rows_.front().begin);
    std::vector<Problem> problems;
    for (const auto& row : rows_) {
      const bool same = row.kind == "residual-charge" && is_kept(row.subject, lots);
      if (same && known == KnownLots::refuse)
        add_problem(
            problems, {path_.string(), row.line, 0},
            fmt::format("a residual charge of {} beside the one that was learned", row.subject),
            "one of them: replace it, or leave it");
      if (!same) text += bytes_.substr(row.begin, row.end - row.begin);
    }
    if (!problems.empty()) throw BadInput(std::move(problems));
    if (!text.empty() && !text.ends_with('\n') && !text.ends_with('\r')) text += shape_.line_end;
    return text + rows_of(lots, origin, shape_);
  }

 private:
  /// A row and the bytes that it takes, its line end included.
  struct Row {
    std::string subject, kind;
    std::size_t line = 0, begin = 0, end = 0;
  };

  static bool is_kept(const std::string& subject, std::span<const LearnedLot> lots) {
    return std::ranges::any_of(lots, [&](const LearnedLot& lot) {
      return lot.worth_keeping && lot.ingredient == subject;
    });
  }
  void find_lines() {
    starts_ = {0};
    for (std::size_t i = 0; i < bytes_.size(); ++i) {
      const bool ends =
          bytes_[i] == '\n' || (bytes_[i] == '\r' && !bytes_.substr(i, 2).ends_with('\n'));
      if (ends) starts_.push_back(i + 1);
    }
    const auto end = bytes_.find_first_of("\r\n");
    if (end != bytes_.npos && bytes_[end] == '\r')
      shape_.line_end = bytes_.substr(end, 2) == "\r\n" ? "\r\n" : "\r";
  }
  std::size_t start_of(std::size_t line) const {
    return line <= starts_.size() ? starts_[line - 1] : bytes_.size();
  }

  void read_header() {
    const auto text = text::decode(bytes_, path_.string()).text;
    const auto first = text.substr(0, text.find_first_of("\r\n"));
    shape_.delimiter = text::guess_delimiter(first);
    const auto csv = text::read_csv(text, shape_.delimiter, path_.string());
    if (!csv.problems.empty()) throw BadInput(csv.problems);
    if (csv.rows.empty()) refuse(path_, "no header", "the columns of levels.csv");
    shape_.columns.clear();
    for (const auto& cell : csv.rows.front()) shape_.columns.emplace_back(text::trim(cell.text));
    check_columns();
    for (std::size_t i = 1; i < csv.rows.size(); ++i) add_row(csv, i);
  }
  std::size_t position(const std::string& column) const {
    return static_cast<std::size_t>(std::ranges::find(shape_.columns, column) -
                                    shape_.columns.begin());
  }
  void check_columns() const {
    for (const auto* column : {"subject", "kind", "value", "upper_value", "unit", "note"})
      if (position(column) == shape_.columns.size())
        refuse(path_, fmt::format("no column {}", column),
               "a header line with it, as levels.csv has", 1);
  }
  void add_row(const text::Csv& csv, std::size_t i) {
    const auto& row = csv.rows[i];
    const auto cell = [&](const char* column) {
      const auto at = position(column);
      return at < row.size() ? std::string(text::trim(row[at].text)) : std::string();
    };
    for (const auto* column : {"value", "upper_value"})
      shape_.decimal_comma = shape_.decimal_comma || cell(column).find(',') != std::string::npos;
    const auto line = row.front().line;
    const auto next =
        i + 1 < csv.rows.size() ? start_of(csv.rows[i + 1].front().line) : bytes_.size();
    rows_.push_back({cell("subject"), cell("kind"), line, start_of(line), next});
  }

  fs::path path_;
  std::string bytes_;
  std::vector<std::size_t> starts_;  ///< of lines
  Shape shape_;
  std::vector<Row> rows_;
};

// ---- writing ----

/// Throws BadInput where the folder's tables with these levels would not load.
void check_loads(const fs::path& folder, const std::string& levels, const Tables& tables) {
  std::vector<std::pair<fs::path, std::string>> files;
  std::error_code error;
  fs::directory_iterator entry(folder, error);
  for (; !error && entry != fs::directory_iterator(); entry.increment(error)) {
    const auto& path = entry->path();
    const bool table = path.extension() == ".csv" && !path.filename().string().starts_with('.');
    if (table && path.stem() != "levels") files.emplace_back(path, bytes_of(path));
  }
  std::vector<Tables::NamedText> texts;
  for (const auto& [path, text] : files)
    texts.push_back({path.stem().string(), path.string(), text});
  texts.push_back({"levels", (folder / "levels.csv").string(), levels});
  tables.with_texts(texts);
}

/// Puts a file into its place as a whole.
void put_in_place(const fs::path& path, const std::string& text) {
  const auto unfinished =
      path.parent_path() / fmt::format(".levels-{:x}.new", std::random_device{}());
  std::error_code error, ignored;
  {
    std::ofstream stream(unfinished, std::ios::binary);
    stream << text;
    stream.flush();
    if (!stream) error = std::make_error_code(std::errc::io_error);
  }
  if (!error) fs::rename(unfinished, path, error);
  if (!error) return;
  fs::remove(unfinished, ignored);
  refuse(path, "a file that cannot be written", "a folder that you may write to");
}

void make_folder(const fs::path& folder) {
  std::error_code error;
  if (fs::exists(folder, error) && !fs::is_directory(folder, error))
    refuse(folder, "no folder", "a folder");
  fs::create_directories(folder, error);
  if (error) refuse(folder, "a folder that cannot be made", "a folder that you may write to");
}

}  // namespace

std::vector<LearnedLot> learned_lots(const Calibration& calibration, const Formula& formula,
                                     const Tables& tables) {
  return LotReader(calibration, formula, tables).run();
}

std::string lots_csv(std::span<const LearnedLot> lots, const LotOrigin& origin) {
  std::string header;
  for (const auto& column : columns_of_lots) header += (header.empty() ? "" : ",") + column;
  return header + "\n" + rows_of(lots, origin, {});
}

void write_lots(const fs::path& folder, std::span<const LearnedLot> lots, const LotOrigin& origin,
                const Tables& tables, KnownLots known) {
  if (std::ranges::none_of(lots, &LearnedLot::worth_keeping))
    refuse(folder, "nothing that is worth keeping",
           "a lot of which the readings say more than the tables");
  const auto path = folder / "levels.csv";
  std::error_code error;
  const auto text = fs::exists(path, error)
                        ? LevelsFile(path, bytes_of(path)).with(lots, origin, known)
                        : lots_csv(lots, origin);
  check_loads(folder, text, tables);
  make_folder(folder);
  put_in_place(path, text);
}

}  // namespace counterion
