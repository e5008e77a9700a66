// SPDX-License-Identifier: MIT
// An independent program solved the same mixtures with the same constants.
#include "rows.hpp"

#include <doctest/doctest.h>

#include <limits>

using namespace counterion;

namespace {

Activity activity_of(const test::Row& row) {
  const std::string& model = row.text("model");
  if (model == "edh") return Activity::extended_debye_huckel;
  return activity_named(model).value();
}

Conditions conditions_of(const test::Row& row) {
  Conditions conditions;
  conditions.temperature = celsius(row.number("temperature_celsius"));
  conditions.activity = activity_of(row);
  conditions.water = Water{row.number("pKw"), row.number("debye_huckel_A"),
                           row.number("debye_huckel_B_per_angstrom"), WaterActivity::linear};
  conditions.davies_held_beyond = mol_per_kg(std::numeric_limits<double>::infinity());
  return conditions;
}

using Protolytes = std::map<std::string, Protolyte>;

Amount amount_of(const Protolytes& protolytes, const std::string& total) {
  const auto [name, value] = test::halves_of(total, '=');
  const Molality molality = mol_per_kg(std::stod(value));
  if (const auto found = protolytes.find(name); found != protolytes.end())
    return {found->second, molality};
  REQUIRE((name == "Na" || name == "K" || name == "Cl"));
  return {StrongIon{name, name == "Cl" ? -1 : 1}, molality};
}

std::vector<Amount> amounts_of(const Protolytes& protolytes, const test::Row& row) {
  std::vector<Amount> amounts;
  for (const auto& total : test::words_of(row.text("totals_mol_per_kg")))
    amounts.push_back(amount_of(protolytes, total));
  return amounts;
}

struct Comparison {
  test::Deviations ph, titrant, ionic_strength;
};

void compare(const Protolytes& protolytes, const test::Row& row, Comparison& worst) {
  const Solution solution(amounts_of(protolytes, row), conditions_of(row));
  const std::string where = row.text("id") + " " + row.text("description");
  if (row.text("kind") == "pH") {
    worst.ph.add(solution.ph().value() - row.number("pH"), where);
    worst.ionic_strength.add(
        in_mol_per_kg(solution.ionic_strength()) / row.number("ionic_strength_mol_per_kg") - 1,
        where);
    return;
  }
  const double base = row.number("strong_base_mol_per_kg");
  const pH target(row.number("pH"));
  worst.titrant.add(in_mol_per_kg(solution.strong_charge_for(target)) / base - 1, where);
}

}  // namespace

TEST_CASE("an independent engine finds the same pH and the same titrant in every mixture") {
  const auto protolytes = test::protolytes_of("engine_reference_constants.csv");
  std::map<std::string, Comparison> by_model;
  for (const auto& row : test::rows_of("engine_reference.csv"))
    compare(protolytes, row, by_model[row.text("model")]);
  CHECK(by_model.size() == 3);
  for (const auto& [model, worst] : by_model) {
    MESSAGE(model << " pH: " << worst.ph.summary());
    MESSAGE(model << " titrant, relative: " << worst.titrant.summary());
    MESSAGE(model << " ionic strength, relative: " << worst.ionic_strength.summary());
    CHECK(worst.ph.count() == 58);
    CHECK(worst.titrant.count() == 7);
    CHECK(worst.ph.worst() < 1e-6);
    CHECK(worst.titrant.worst() < 1e-8);
    CHECK(worst.ionic_strength.worst() < 1e-6);
  }
}
