// SPDX-License-Identifier: MIT
// Published buffer tables with Davies' equation, and with specific ion interactions; constants at no
// ionic strength, nothing is fitted to them.
#include "reagents.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

using namespace counterion;

namespace {

/// Deviations (computed less tabulated pH) of a set of rows.
class Spread {
 public:
  void add(double deviation, const std::string& where) {
    if (sizes_.empty() || std::abs(deviation) > worst()) where_ = where;
    sizes_.insert(std::abs(deviation));
    sum_ += deviation;
  }
  /// The size that this share of the rows does not exceed.
  double quantile(double share) const {
    const auto at = std::ceil(share * static_cast<double>(sizes_.size())) - 1;
    return *std::next(sizes_.begin(), static_cast<std::ptrdiff_t>(std::max(at, 0.0)));
  }
  double median() const { return quantile(0.5); }
  double worst() const { return *sizes_.rbegin(); }
  std::size_t count() const { return sizes_.size(); }
  std::string summary() const {
    return fmt::format("n {}, median |Δ| {:.3f}, 90 % {:.3f}, worst {:.3f} ({}), mean Δ {:+.3f}",
                       count(), median(), quantile(0.9), worst(), where_,
                       sum_ / static_cast<double>(count()));
  }

 private:
  std::multiset<double> sizes_;
  double sum_ = 0;
  std::string where_;
};

/// mol per kg of water: volumes are taken to add up, and a litre of solution to hold a litre of
/// water.
double molality_of(const test::Row& row, const std::string& which) {
  const double amount = row.number(which + "_mol_per_L") * row.number(which + "_mL");
  return amount / row.number("volume_mL") /
         chemistry::water_density(row.number("temperature_celsius"));
}

Solution solution_of(const test::Row& row, const test::Reagents& reagents, Conditions conditions) {
  std::vector<Amount> amounts;
  for (const std::string which : {"first", "second"})
    reagents.add(amounts, row.text(which), molality_of(row, which));
  conditions.temperature = celsius(row.number("temperature_celsius"));
  return Solution(amounts, conditions);
}

/// A row of a table and how far the computed pH lies above the printed one.
struct Finding {
  test::Row row;
  double ionic_strength = 0, deviation = 0, specific = 0;  ///< with Davies, with specific interactions
  const std::string& table() const { return row.text("table"); }
  int grade() const { return std::stoi(row.text("grade")); }
};

const std::vector<Finding>& findings() {
  static const std::vector<Finding> all = [] {
    const test::Reagents reagents;
    Conditions specific{.activity = Activity::specific_ion};
    specific.interactions = test::interactions();
    std::vector<Finding> found;
    for (const auto& row : test::rows_of("buffer_tables.csv")) {
      const Solution solution = solution_of(row, reagents, {});
      found.push_back({row, in_mol_per_kg(solution.ionic_strength()),
                       solution.ph().value() - row.number("pH"),
                       solution_of(row, reagents, specific).ph().value() - row.number("pH")});
    }
    return found;
  }();
  return all;
}

template <class Wanted>
Spread spread_of(Wanted wanted) {
  Spread spread;
  for (const Finding& finding : findings())
    if (wanted(finding))
      spread.add(finding.deviation, finding.table() + ", pH " + finding.row.text("pH"));
  return spread;
}

/// Tables whose pH was read on Sørensen's scale, which lies 0.04 below that of activities (from memory:
/// Bates, Determination of pH): what that explains is reported, and judges nothing.
const std::set<std::string> old_scale{
    "citrate-phosphate, McIlvaine", "citrate-phosphate, diluted", "citrate-phosphate, laboratory sheet at 25 °C",
    "phosphate, Sørensen M/15",     "phthalate-hydrochloric acid, Clark and Lubs", "universal, Britton and Robinson",
    "potassium chloride-hydrochloric acid, Gomori"};

struct Table {
  int grade = 0;
  bool judges = false;
  double highest_ionic_strength = 0;
  Spread spread;
};

std::map<std::string, Table> tables() {
  std::map<std::string, Table> found;
  for (const Finding& finding : findings()) {
    Table& table = found[finding.table()];
    table.grade = finding.grade();
    table.judges = finding.row.judges();
    table.highest_ionic_strength = std::max(table.highest_ionic_strength, finding.ionic_strength);
    table.spread.add(finding.deviation, "pH " + finding.row.text("pH"));
  }
  return found;
}

/// What is reached, rounded up: median and worst size of the deviation. Remembered tables have no
/// limits.
const std::map<std::string, std::pair<double, double>> limits{
    {"acetate, Lurie", {0.025, 0.035}},
    {"borax-hydrochloric acid, Lurie", {0.13, 0.22}},
    {"borax-sodium hydroxide, Lurie", {0.13, 0.15}},
    {"citrate and tartrate eluents", {0.08, 0.18}},
    {"citrate-phosphate, McIlvaine", {0.12, 0.2}},
    {"citrate-phosphate, diluted", {0.17, 0.36}},
    {"citrate-phosphate, laboratory sheet at 25 °C", {0.12, 0.2}},
    {"phosphate, Sørensen M/15", {0.06, 0.07}},
    {"phthalate recipe, European Pharmacopoeia", {0.26, 0.26}},
    {"phthalate-hydrochloric acid, Bower and Bates", {0.015, 0.025}},
    {"phthalate-hydrochloric acid, Clark and Lubs", {0.05, 0.07}},
    {"phthalate-sodium hydroxide, Bower and Bates", {0.01, 0.02}},
    {"potassium chloride-hydrochloric acid, Bower and Bates", {0.015, 0.025}},
    {"potassium chloride-hydrochloric acid, Gomori", {0.08, 0.14}},
    {"tris at 5, 25 and 37 °C", {0.04, 0.1}},
};

}  // namespace

TEST_CASE("each buffer table stays as near as it is") {
  std::size_t judged = 0;
  for (const auto& [name, table] : tables()) {
    const std::string kind = table.judges ? "" : ", remembered";
    MESSAGE(fmt::format("{}, grade {}{}, ionic strength to {:.2f}: {}", name, table.grade, kind,
                        table.highest_ionic_strength, table.spread.summary()));
    if (!table.judges) continue;
    ++judged;
    CHECK(table.spread.median() <= limits.at(name).first);
    CHECK(table.spread.worst() <= limits.at(name).second);
  }
  CHECK(judged == limits.size());
}

TEST_CASE("the tight buffer tables are met within 0.03 (median) and 0.12 (nine of ten)") {
  const Spread tight = spread_of([](const Finding& f) { return f.grade() == 1 && f.row.judges(); });
  MESSAGE("grade 1: " << tight.summary());
  CHECK(tight.median() <= 0.03);
  CHECK(tight.quantile(0.9) <= 0.12);
}

// What keeps the loose ones away is in the tables: Sørensen's scale (no conversion was found that
// one could cite), -log c for pH (Gomori's hydrochloric acid), polyborates (0.05 mol/L borax),
// citrate with phosphate at ionic strengths that Davies' equation does not reach.
TEST_CASE("buffer tables of grades 1 and 2 together") {
  const auto counts = [](const Finding& f) { return f.grade() <= 2 && f.row.judges(); };
  const Spread judged = spread_of(counts);
  MESSAGE("looked up: " << judged.summary());
  MESSAGE("to ionic strength 0.1: " << spread_of([&](const Finding& f) {
                                         return counts(f) && f.ionic_strength <= 0.1;
                                       }).summary());
  MESSAGE("with the remembered ones: "
          << spread_of([](const Finding& f) { return f.grade() <= 2; }).summary());
  Spread specific, rescaled;
  for (const Finding& finding : findings())
    if (counts(finding)) {
      const std::string where = finding.table() + ", pH " + finding.row.text("pH");
      specific.add(finding.specific, where);
      rescaled.add(finding.specific - (old_scale.contains(finding.table()) ? 0.04 : 0), where);
    }
  MESSAGE("looked up, with specific interactions: " << specific.summary());
  MESSAGE("the same, old scales 0.04 higher: " << rescaled.summary());
  CHECK(specific.median() <= 0.055);
  CHECK(specific.quantile(0.9) <= 0.15);
  WARN(judged.median() <= 0.03);
  WARN(judged.quantile(0.9) <= 0.12);
  CHECK(judged.median() <= 0.075);
  CHECK(judged.quantile(0.9) <= 0.19);
}
