// SPDX-License-Identifier: MIT
// What the lines of a log say was weighed in.
#pragma once

#include "header.hpp"
#include "stock.hpp"

#include <counterion/formula/reading_log.hpp>

namespace counterion::formula {

/// How to say what was added on lines that have no name.
inline constexpr std::string_view usual_name_example = "a line such as '# with: citric acid 20 %'";

/// What a line says of what was weighed in.
enum class AdditionOutcome {
  sound,      ///< all of it, or that nothing was
  broken,     ///< something, but not all of it
  made_good,  ///< all of it, and by a total also what lines before were at fault with
};

/// Reads lines in their order, since totals run on; faults go to the findings.
class AdditionReader {
 public:
  AdditionReader(const Sheet& sheet, text::DecimalMarks marks, const Tables& tables,
                 Findings& findings)
      : sheet_(sheet), marks_(marks), findings_(findings), stocks_(tables) {}

  /// What was added on lines without a name, and where that is said.
  void set_usual_name(const std::string& name, const Place& place);
  /// Sets what was added, its ingredient, strength and grams; a word for nothing goes to the note.
  /// Where that is at fault the line has no ingredient.
  AdditionOutcome read(const text::CsvRow& row, LogLine& line);
  /// A fault of the usual name that no line has asked for.
  void conclude();

 private:
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

  Position at(Role role) const { return sheet_.columns.position(role); }
  Position grams_position() const { return at(Role::grams) ? at(Role::grams) : at(Role::total); }
  Place place(const text::CsvRow& row, Position position) const {
    return place_of(findings_.file, row, position);
  }

  bool totals_make_good() const;
  bool read_addition(const text::CsvRow& row, const Weighed& weighed, LogLine& line);
  void name_stock(const text::CsvRow& row, std::optional<double> strength, bool from_total,
                  LogLine& line);
  std::optional<Stock> stock_of(const text::CsvRow& row, const std::string& name,
                                std::optional<double> strength);
  std::optional<Stock> look_up(const std::string& name, std::optional<double> strength,
                               const Place& where);
  std::optional<Stock> look_up_usual();
  Weighed weigh(const text::CsvRow& row);
  Weighed weight_in(const text::CsvRow& row, Position position);
  Weighed since_before(const text::CsvRow& row, double total);
  void check_total(const text::CsvRow& row, double total);
  void check_same_stock(const text::CsvRow& row, const Stock& stock);

  const Sheet& sheet_;
  text::DecimalMarks marks_;
  Findings& findings_;
  StockReader stocks_;
  UsualName usual_;
  double so_far_ = 0;  ///< grams of all lines
  std::optional<Stock> of_totals_;
  bool totals_doubtful_ = false;
};

}  // namespace counterion::formula
