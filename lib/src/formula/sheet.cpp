// SPDX-License-Identifier: MIT
#include "amount.hpp"
#include "draft.hpp"
#include "header.hpp"
#include "words.hpp"

#include <counterion/text/names.hpp>
#include <counterion/text/number.hpp>
#include <counterion/text/utf8.hpp>

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace counterion::formula {
namespace {

using text::CsvRow;
using text::format_number;

constexpr std::size_t most_words_of_a_name = 8;  // a longer cell without amount is prose

const WordSet phase_words{"phase", "fase", "faza", "fas"};

enum class RowKind { skip, remark, heading, total, nameless, without_amount, item };

/// Which columns hold the amounts, and what a number in them means.
struct Measure {
  Position percent;
  Position grams;
  double grams_per_unit = 1;
  Position main() const { return percent ? percent : grams; }
};

/// Percent and grams of one line, both as written, to be held against each other.
struct Pair {
  Place place;
  Amount percent;
  Amount grams;
};

/// A sum that the sheet itself states.
struct StatedTotal {
  Place place;
  Amount amount;
  std::size_t lines_before = 0;
};

class SheetReader {
 public:
  SheetReader(const Sheet& sheet, Draft& draft) : sheet_(sheet), draft_(draft) {}

  void read() {
    for (const auto& row : sheet_.rows) {
      if (is_remark(row)) read_remark(row);
    }
    marks_ = sheet_.decimal_marks_in(
        {Role::percent, Role::grams, Role::amount, Role::concentration, Role::strength});
    measure_ = choose_measure();
    for (const auto& row : sheet_.rows_below_header()) read_row(row);
    check_totals();
    check_pairs();
  }

 private:
  // ---- cells ----

  Position at(Role role) const { return sheet_.columns.position(role); }

  static std::string cell(const CsvRow& row, Position position) { return cell_of(row, position); }

  Place place(const CsvRow& row, Position position = {}) const {
    return place_of(draft_.file, row, position);
  }

  std::vector<std::string> names(const CsvRow& row) const {
    std::vector<std::string> found;
    for (const auto role : {Role::inci, Role::ingredient, Role::trade_name}) {
      auto name = cell(row, at(role));
      if (!name.empty()) found.push_back(std::move(name));
    }
    return found;
  }

  Amount amount(const CsvRow& row, Position position) const {
    return position ? read_amount(cell(row, position), marks_) : Amount{};
  }

  bool has_amount(const CsvRow& row) const {
    return std::ranges::any_of(
        std::initializer_list<Position>{sheet_.columns.amount_position(), at(Role::grams)},
        [&](const auto& position) { return !is_nothing(cell(row, position)); });
  }

  // ---- what a row is ----

  static bool is_phase_heading(const std::string& text) {
    const auto words = words_of(text);
    const bool letter = !text.empty() && text.size() <= 2 && text[0] >= 'A' && text[0] <= 'Z';
    return letter || std::ranges::any_of(words, [](const std::string& word) {
             return phase_words.contains(word) || word.ends_with("phase");
           });
  }

  RowKind kind_of(const CsvRow& row) const {
    if (is_remark(row)) return RowKind::remark;
    if (is_total(row)) return RowKind::total;
    const bool named = !names(row).empty();
    if (has_amount(row)) return named ? RowKind::item : RowKind::nameless;
    if (!heading(row).empty()) return RowKind::heading;
    return named ? RowKind::without_amount : RowKind::skip;
  }

  /// The text of a row that only opens a phase; empty where it does not.
  std::string heading(const CsvRow& row) const {
    const auto named = names(row);
    if (!named.empty()) return is_phase_heading(named.front()) ? named.front() : std::string();
    if (const auto phase = cell(row, at(Role::phase)); !phase.empty()) return phase;
    for (const auto& one : row) {
      const std::string text(text::trim(one.text));
      if (!text.empty()) return is_phase_heading(text) ? text : std::string();
    }
    return {};
  }

  // ---- units ----

  Measure choose_measure() {
    const auto percent = at(Role::percent), grams = at(Role::grams), amount = at(Role::amount);
    if (percent || grams) {
      const auto factor = grams ? sheet_.columns.cells[*grams].grams_per_unit : 1;
      return {percent, grams, factor};
    }
    if (amount)
      return unit_of_cells(*amount) == Unit::percent ? Measure{amount, {}, 1}
                                                     : Measure{{}, amount, 1};
    const auto concentration = at(Role::concentration);
    say_in_header(*concentration, "is taken as percent of the formula");
    return {concentration, {}, 1};
  }

  void say_in_header(std::size_t position, const std::string& what) {
    say_of_column(sheet_, position, what, draft_);
  }

  /// The unit of a column that states none: as its cells say, else as its sum suggests.
  Unit unit_of_cells(std::size_t position) {
    double sum = 0;
    bool fills = false;
    for (const auto& row : sheet_.rows_below_header()) {
      if (kind_of(row) != RowKind::item) continue;
      const auto one = amount(row, position);
      if (one.unit != Unit::none) return one.unit;
      if (one.kind == AmountKind::number) sum += one.value;
      fills = fills || (one.kind == AmountKind::fill && one.fill_to.value_or(100) == 100);
    }
    const bool percent = (sum >= 90 && sum <= 110) || (fills && sum <= 100);
    say_in_header(position,
                  std::string("states no unit and is taken as ") + (percent ? "percent" : "grams"));
    return percent ? Unit::percent : Unit::grams;
  }

  // ---- reading ----

  void read_remark(const CsvRow& row) {
    const auto property = property_of(row, sheet_.delimiter);
    if (!property) return;
    if (!set_property(draft_, text::normalise(property->key), property->value, place(row))) {
      draft_.say(place(row), fmt::format("'{}:' says nothing here; known are name, batch, use and type",
                                         property->key));
    }
  }

  void read_row(const CsvRow& row) {
    switch (kind_of(row)) {
      case RowKind::heading:
        phase_ = heading(row);
        break;
      case RowKind::total:
        add_total(row);
        break;
      case RowKind::nameless:
        read_nameless(row);
        break;
      case RowKind::without_amount:
        read_without_amount(row);
        break;
      case RowKind::item:
        read_item(row);
        break;
      default:
        break;
    }
  }

  void add_total(const CsvRow& row) {
    const auto position = measure_.main();
    const auto stated = amount(row, position);
    if (stated.kind == AmountKind::number) {
      totals_.push_back({place(row, position), stated, draft_.lines.size()});
    }
    after_total_ = true;
  }

  void read_nameless(const CsvRow& row) {
    const auto stated = amount(row, measure_.main());
    const bool number = stated.kind == AmountKind::number;
    if (stated.kind == AmountKind::empty || (number && stated.value == 0)) return;
    if (number && agrees(stated, 0, draft_.lines.size())) return add_total(row);
    draft_.problem(place(row, measure_.main()), "an amount without a name", "an ingredient's name");
  }

  void read_without_amount(const CsvRow& row) {
    if (after_total_) return;
    const auto name = names(row).front();
    if (words_of(name).size() > most_words_of_a_name) {
      draft_.say(place(row), "a line of text without amount is not read");
      return;
    }
    draft_.problem(place(row, measure_.main()), fmt::format("no amount for '{}'", name),
                   "a number, or q.s. once");
  }

  void read_item(const CsvRow& row) {
    check_width(sheet_, row, draft_);
    DraftLine line;
    line.names = names(row);
    line.place = place(row, sheet_.name_position(row));
    line.amount_place = place(row, measure_.main());
    if (const auto own = cell(row, at(Role::phase)); !own.empty()) phase_ = own;
    line.phase = phase_;
    line.note = cell(row, at(Role::note));
    read_amounts(row, line);
    read_strength(row, line);
    read_ph(row, line);
    draft_.lines.push_back(std::move(line));
  }

  void read_amounts(const CsvRow& row, DraftLine& line) {
    const auto percent = amount(row, measure_.percent);
    const auto grams = amount(row, measure_.grams);
    take(percent, Unit::percent, place(row, measure_.percent), line);
    if (percent.kind == AmountKind::fill && grams.kind == AmountKind::fill) return;
    if (percent.kind == AmountKind::fill || percent.kind == AmountKind::fault) return;
    take(grams, Unit::grams, place(row, measure_.grams), line);
    if (percent.kind == AmountKind::number && grams.kind == AmountKind::number) {
      pairs_.push_back({place(row, measure_.grams), percent, grams});
    }
  }

  void take(const Amount& amount, Unit unit, const Place& where, DraftLine& line) {
    if (amount.kind == AmountKind::empty) return;
    if (amount.kind == AmountKind::fault)
      return draft_.problem(where, amount.fault, amount.expected);
    if (amount.unit != Unit::none && amount.unit != unit && amount.kind == AmountKind::number) {
      const bool percent = unit == Unit::percent;
      return draft_.problem(
          where, percent ? "grams in a column of percent" : "percent in a column of grams",
          percent ? "a number of percent" : "a number of grams");
    }
    line.amount_place = where;
    if (amount.kind == AmountKind::fill) {
      take_fill(amount, unit, where, line);
    } else if (unit == Unit::percent) {
      line.percent = amount.value;
    } else {
      line.grams = amount.value * (amount.unit == Unit::none ? measure_.grams_per_unit : 1);
    }
  }

  void take_fill(const Amount& amount, Unit unit, const Place& where, DraftLine& line) {
    line.fills = true;
    if (!amount.fill_to) return;
    const bool of_whole = amount.unit != Unit::grams && *amount.fill_to == 100;
    if (of_whole && (unit == Unit::percent || draft_.batch_g || amount.unit == Unit::percent))
      return;
    if (unit == Unit::percent || amount.unit == Unit::percent) {
      draft_.problem(where, "a fill up to " + format_number(*amount.fill_to), "q.s., or to 100");
    } else {
      line.fill_to_grams =
          *amount.fill_to * (amount.unit == Unit::none && !of_whole ? measure_.grams_per_unit : 1);
    }
  }

  void read_strength(const CsvRow& row, DraftLine& line) {
    auto position = at(Role::strength);
    const auto concentration = at(Role::concentration);
    if (!position && concentration != measure_.main()) position = concentration;
    line.strength_percent = strength_in(row, position, marks_, draft_);
  }

  std::optional<DeclaredPh> ph_of(const CsvRow& row, Role role, DraftLine& line) {
    const auto position = at(role);
    const auto text = cell(row, position);
    if (is_nothing(text)) return {};
    line.ph_place = place(row, position);
    auto declared = read_declared_ph(text);
    if (!declared) {
      draft_.problem(line.ph_place, fmt::format("'{}' as declared pH", text),
                     "a pH from 0 to 14, such as 11.5-12.5 or 11.5-12.5 @ 10 %");
    } else if (!declared->at_percent) {
      declared->at_percent = sheet_.columns.cells[*position].at_percent;
    }
    return declared;
  }

  void read_ph(const CsvRow& row, DraftLine& line) {
    const auto span = ph_of(row, Role::ph, line);
    auto low = ph_of(row, Role::ph_low, line);
    auto high = ph_of(row, Role::ph_high, line);
    if (span) low = high = span;
    if (!low && !high) return;
    line.ph_low = low ? low->low : high->low;
    line.ph_high = high ? high->high : low->high;
    line.ph_at_percent = low && low->at_percent ? low->at_percent
                         : high                 ? high->at_percent
                                                : std::nullopt;
    if (*line.ph_low > *line.ph_high) {
      draft_.problem(line.ph_place,
                     "a declared pH from " + format_number(*line.ph_low) + " to " +
                         format_number(*line.ph_high),
                     "the lower pH first");
    }
  }

  // ---- sums ----

  double sum(std::size_t first, std::size_t last) const {
    double total = 0;
    for (auto i = first; i < last; ++i) {
      const auto& line = draft_.lines[i];
      total += (measure_.percent ? line.percent : line.grams).value_or(0);
    }
    return total;
  }

  bool fills_between(std::size_t first, std::size_t last) const {
    return std::any_of(draft_.lines.begin() + static_cast<std::ptrdiff_t>(first),
                       draft_.lines.begin() + static_cast<std::ptrdiff_t>(last),
                       [](const auto& line) { return line.fills; });
  }

  double in_column_unit(const Amount& amount) const {
    const bool scaled = !measure_.percent && amount.unit == Unit::none;
    return amount.value * (scaled ? measure_.grams_per_unit : 1);
  }

  bool agrees(const Amount& stated, std::size_t first, std::size_t last) const {
    const auto value = in_column_unit(stated);
    const auto whole = measure_.percent ? 100.0 : draft_.batch_g.value_or(value);
    const auto expected = fills_between(first, last) ? whole : sum(first, last);
    const auto rounding =
        0.5 * stated.last_digit * (measure_.percent ? 1 : measure_.grams_per_unit);
    return std::abs(value - expected) <= 0.0005 * std::abs(expected) + rounding + 1e-9;
  }

  void check_totals() {
    std::size_t before = 0;
    for (const auto& total : totals_) {
      const auto end = total.lines_before;
      if (end != before && !agrees(total.amount, 0, end) && !agrees(total.amount, before, end)) {
        draft_.say(total.place, "the stated total " + format_number(in_column_unit(total.amount)) +
                                    " is not the sum of the lines, " + format_number(sum(0, end)));
      }
      before = end;
    }
  }

  double grams_of(const Amount& amount) const {
    return amount.value * (amount.unit == Unit::none ? measure_.grams_per_unit : 1);
  }

  /// Grams per percent, as half of the formula by weight has it; one wrong line cannot move that.
  double usual_scale() const {
    std::vector<std::pair<double, double>> scales;  // grams per percent, percent
    double whole = 0;
    for (const auto& pair : pairs_) {
      if (pair.percent.value <= 0) continue;
      scales.emplace_back(grams_of(pair.grams) / pair.percent.value, pair.percent.value);
      whole += pair.percent.value;
    }
    std::ranges::sort(scales);
    double passed = 0;
    for (const auto& [scale, percent] : scales) {
      passed += percent;
      if (passed >= 0.5 * whole) return scale;
    }
    return 0;
  }

  void check_pairs() {
    const auto scale = usual_scale();
    if (scale <= 0) return;
    double grams = 0, percent = 0;
    for (const auto& pair : pairs_) {
      grams += grams_of(pair.grams);
      percent += pair.percent.value;
      check_pair(pair, scale);
    }
    const auto batch = 100 * grams / percent;
    if (!draft_.batch_g) {
      draft_.batch_g = batch;
    } else if (std::abs(batch - *draft_.batch_g) > 0.01 * batch) {
      draft_.say({draft_.file, 0, 0}, "the grams are those of a batch of " +
                                          format_number(batch, 1) + " g, the stated batch is " +
                                          format_number(*draft_.batch_g) + " g");
    }
  }

  void check_pair(const Pair& pair, double scale) {
    const auto expected = pair.percent.value * scale;
    const auto rounding = 0.5 * pair.grams.last_digit * measure_.grams_per_unit +
                          0.5 * pair.percent.last_digit * scale;
    if (std::abs(grams_of(pair.grams) - expected) <= 1.01 * rounding + 0.001 * expected) return;
    draft_.say(pair.place, format_number(grams_of(pair.grams)) + " g where " +
                               format_number(pair.percent.value) + " % are " +
                               format_number(expected, 2) + " g; the percent is taken");
  }

  const Sheet& sheet_;
  Draft& draft_;
  text::DecimalMarks marks_;
  Measure measure_;
  std::string phase_;
  bool after_total_ = false;
  std::vector<StatedTotal> totals_;
  std::vector<Pair> pairs_;
};

// ---- the table ----

bool is_formula_header(const Columns& columns) {
  return columns.has_ingredient() && columns.has_amount();
}

bool is_near_header(const Columns& columns) {
  return columns.has_ingredient() || columns.has_amount();
}

std::string what_lacks(const Columns& columns) {
  std::string lacking;
  if (!columns.has_ingredient()) lacking = "a column of ingredients (Ingredient, INCI or Raw material)";
  if (columns.has_amount()) return lacking;
  return lacking + (lacking.empty() ? "" : " and ") +
         "a column of amounts (Percent, % w/w, Amount (g) or Menge %)";
}

constexpr TableKind formula_table{read_header_cell, is_formula_header, is_near_header, what_lacks,
                                  "no ingredient lines"};

}  // namespace

void read_sheet(std::string_view text, Draft& draft) {
  const auto sheet = find_sheet(text, formula_table, draft);
  if (sheet) SheetReader(*sheet, draft).read();
}

}  // namespace counterion::formula
