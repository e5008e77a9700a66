// SPDX-License-Identifier: MIT
#include "additions.hpp"

#include "amount.hpp"
#include "log_columns.hpp"
#include "words.hpp"

#include <cmath>
#include <fmt/format.h>

namespace counterion::formula {
namespace {

using text::CsvRow;
using text::format_number;

constexpr std::size_t most_words_of_a_name = 8;  // a longer cell without grams is prose
constexpr double most_grams = 1e9;

bool is_prose(const std::string& name) {
  return words_of(name).size() > most_words_of_a_name;
}

/// The difference of two weights as people write them, without what binary digits leave.
double difference(double weight, double other) {
  constexpr double parts = 1e6;  // in a gram
  return std::round((weight - other) * parts) / parts;
}

}  // namespace

void AdditionReader::set_usual_name(const std::string& name, const Place& place) {
  usual_ = {name, place, false, false};
}

AdditionOutcome AdditionReader::read(const CsvRow& row, LogLine& line) {
  const auto faults = findings_.problems.size();
  const auto weighed = weigh(row);
  const bool weighed_well = findings_.problems.size() == faults;
  if (!read_addition(row, weighed, line))
    return weighed_well ? AdditionOutcome::sound : AdditionOutcome::broken;
  if (findings_.problems.size() == faults && !line.ingredient.empty())
    return weighed.from_total && totals_make_good() ? AdditionOutcome::made_good : AdditionOutcome::sound;
  totals_doubtful_ = totals_doubtful_ || weighed.from_total;
  line.ingredient.clear();
  line.stock_percent.reset();
  return AdditionOutcome::broken;
}

/// Whether a total says what lines before it were at fault with: all is of one stock, and no total was odd.
bool AdditionReader::totals_make_good() const {
  const auto& columns = sheet_.columns;
  return !totals_doubtful_ && !columns.has_ingredient() && !columns.has(Role::strength);
}

/// Whether the line adds something.
bool AdditionReader::read_addition(const CsvRow& row, const Weighed& weighed, LogLine& line) {
  const auto name = cell_of(row, sheet_.name_position(row));
  const auto strength = strength_in(row, at(Role::strength), marks_, findings_);
  const bool adds = weighed.given && !(weighed.grams && *weighed.grams == 0);
  if (!adds && (weighed.given || is_no_addition(name) || is_prose(name))) {
    if (!is_nothing(name)) append(line.note, name, "; ");
    return false;
  }
  if (!adds) {
    findings_.problem(place(row, grams_position()), fmt::format("no grams for {}", shown(name)),
                      "the grams that were weighed in, 0 where nothing was");
  }
  line.grams = weighed.grams;
  line.added = is_nothing(name) ? usual_.name : name;
  name_stock(row, strength, weighed.from_total, line);
  return true;
}

void AdditionReader::name_stock(const CsvRow& row, std::optional<double> strength, bool from_total,
                                LogLine& line) {
  const auto stock = stock_of(row, line.added, strength);
  if (!stock) return;
  line.ingredient = stock->ingredient;
  line.stock_percent = stock->percent;
  if (from_total) check_same_stock(row, *stock);
}

void AdditionReader::conclude() {
  if (!usual_.name.empty() && !usual_.looked_up) look_up_usual();
}

// ---- names ----

std::optional<Stock> AdditionReader::stock_of(const CsvRow& row, const std::string& name,
                                              std::optional<double> strength) {
  if (name.empty()) {
    findings_.problem(place(row, grams_position()), "grams of nothing that has a name",
                      fmt::format("what was added, on the line or in {}", usual_name_example));
    return {};
  }
  const auto named = sheet_.name_position(row);
  if (!is_nothing(cell_of(row, named))) return look_up(name, strength, place(row, named));
  if (!strength) return look_up_usual();
  usual_.looked_up = true;
  return look_up(name, strength, place(row, at(Role::strength)));
}

std::optional<Stock> AdditionReader::look_up(const std::string& name,
                                             std::optional<double> strength, const Place& where) {
  const auto& reading = stocks_.read(name, strength);
  if (!reading.stock) {
    auto fault = reading.fault;
    fault.place = where;
    findings_.problems.push_back(std::move(fault));
  }
  return reading.stock;
}

/// The stock of lines without a name; its fault is told once, where it stands.
std::optional<Stock> AdditionReader::look_up_usual() {
  if (usual_.looked_up_alone) return stocks_.read(usual_.name, {}).stock;
  usual_.looked_up = usual_.looked_up_alone = true;
  return look_up(usual_.name, {}, usual_.place);
}

/// A total over two things would not say how much of each.
void AdditionReader::check_same_stock(const CsvRow& row, const Stock& stock) {
  if (!of_totals_) of_totals_ = stock;
  if (*of_totals_ == stock) return;
  findings_.problem(place(row, at(Role::total)), "a total over two things that were added",
                    "a column of grams since the line before");
}

// ---- weights ----

AdditionReader::Weighed AdditionReader::weigh(const CsvRow& row) {
  const auto own = weight_in(row, at(Role::grams));
  const auto total = weight_in(row, at(Role::total));
  if (!own.given && total.grams) return since_before(row, *total.grams);
  if (!own.given) return total;
  so_far_ += own.grams.value_or(0);
  if (own.grams && total.grams) check_total(row, *total.grams);
  return own;
}

AdditionReader::Weighed AdditionReader::weight_in(const CsvRow& row, Position position) {
  const auto text = cell_of(row, position);
  const auto amount = read_amount(text, marks_);
  if (amount.kind == AmountKind::empty) return {};
  const bool scaled = amount.unit == Unit::none;
  const auto grams = amount.value * (scaled ? sheet_.columns.cells[*position].grams_per_unit : 1);
  const bool is_mass = amount.kind == AmountKind::number && amount.unit != Unit::percent;
  if (is_mass && grams <= most_grams) return {true, false, grams};
  const bool told = amount.kind == AmountKind::fault;
  findings_.problem(place(row, position),
                    told ? amount.fault : shown(text) + " as what was weighed in",
                    "grams, 0 or more");
  return {true, false, {}};
}

AdditionReader::Weighed AdditionReader::since_before(const CsvRow& row, double total) {
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

void AdditionReader::check_total(const CsvRow& row, double total) {
  if (std::abs(total - so_far_) <= 0.0005 * total + 1e-6) return;
  findings_.say(place(row, at(Role::total)),
                fmt::format("the stated total, {} g, is not the sum so far, {} g; the grams of the "
                            "lines are taken",
                            format_number(total), format_number(so_far_)));
}

}  // namespace counterion::formula
