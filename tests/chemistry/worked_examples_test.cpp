// SPDX-License-Identifier: MIT
// Textbook problems: concentrations for activities, the book's own constants, the printed digits.
#include "rows.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <set>

using namespace counterion;

namespace {

/// "1.8e-5" is an acidity constant; "1.8e-5b" is the base constant of the other form.
Ionisation step_of(std::string constant, double Kw) {
  const bool base = constant.back() == 'b';
  if (base) constant.pop_back();
  const double K = std::stod(constant);
  return {-std::log10(base ? Kw / K : K)};
}

/// "0:7.5e-3/6.2e-8=0.1": charge of the protonated form, constants, mol/L.
Amount acid_of(const std::string& text, double Kw) {
  const auto [acid, concentration] = test::halves_of(text, '=');
  auto [charge, constants] = test::halves_of(acid, ':');
  for (char& c : constants)
    if (c == '/') c = ' ';
  std::vector<Ionisation> steps;
  for (const auto& constant : test::words_of(constants)) steps.push_back(step_of(constant, Kw));
  return {Protolyte(std::stoi(charge), steps), mol_per_kg(std::stod(concentration))};
}

Conditions textbook(double Kw) {
  Conditions conditions;
  conditions.activity = Activity::ideal;
  conditions.water = Water{-std::log10(Kw), 0, 0, WaterActivity::unity};
  return conditions;
}

Solution solution_of(const test::Row& row) {
  const double Kw = row.number("Kw");
  std::vector<Amount> amounts;
  for (const auto& acid : test::words_of(row.text("acids"))) amounts.push_back(acid_of(acid, Kw));
  return Solution(amounts, textbook(Kw), mol_per_kg(row.number("strong_charge_mol_per_L")));
}

/// "form 2" asks for the concentration of what the first acid is after two protons have gone.
double form_of(const Solution& solution, const test::Row& row) {
  const auto lost = static_cast<std::size_t>(std::stoi(row.text("asked").substr(5)));
  const Amount acid = acid_of(test::words_of(row.text("acids")).at(0), row.number("Kw"));
  return solution.shares(0)[lost] * in_mol_per_kg(acid.molality);
}

double asked_of(const Solution& solution, const test::Row& row) {
  const std::string& asked = row.text("asked");
  const double H = std::pow(10.0, -solution.ph().value());
  if (asked == "pH") return solution.ph().value();
  if (asked == "H") return H;
  if (asked == "OH") return row.number("Kw") / H;
  REQUIRE(asked.starts_with("form "));
  return form_of(solution, row);
}

const Protolyte acetic(0, {{-std::log10(1.8e-5)}}, "acetic acid");
const StrongIon sodium{"sodium", 1};

}  // namespace

TEST_CASE("textbook problems come out to the printed digits") {
  std::set<std::string> problems;
  for (const auto& row : test::rows_of("worked_examples.csv")) {
    REQUIRE(row.judges());
    problems.insert(row.text("id"));
    const double found = asked_of(solution_of(row), row);
    const double printed = row.number("answer");
    INFO(row.text("id") << " " << row.text("problem") << ": " << found << ", printed " << printed);
    CHECK(std::abs(found - printed) <= row.number("tolerance") * (1 + 1e-9));
  }
  MESSAGE(problems.size() << " problems");
  CHECK(problems.size() >= 28);
}

// Flowers et al., Chemistry 2e, OpenStax, chapter 14, section 14.6 exercise: 37 g of the
// trihydrate.
TEST_CASE("0.300 L of 0.50 M acetic acid needs 37 g of sodium acetate trihydrate for pH 5.00") {
  const std::vector<Amount> acid{{acetic, mol_per_kg(0.5)}};
  const Additive acetate{{{acetic, mol_per_kg(1)}, {sodium, mol_per_kg(1)}}};
  const Dose dose = dose_for(Solution(acid, textbook(1e-14)), acetate, pH(5.00));
  REQUIRE(dose.amount);
  CHECK(*dose.amount * 0.300 * 136.08 == doctest::Approx(37).epsilon(0.5 / 37));
}

// Van Slyke, J. Biol. Chem. 52, 525 (1922): ln 10 C / 4 at pH = pK, the water's own part added.
TEST_CASE("a half neutralised acid buffers with a quarter of its amount times ln 10") {
  const std::vector<Amount> acid{{Protolyte(0, {{7.0}}), mol_per_kg(0.1)}};
  const Solution solution(acid, textbook(1e-14), mol_per_kg(0.05));
  CHECK(solution.ph().value() == doctest::Approx(7).epsilon(1e-12));
  CHECK(solution.buffer_capacity() ==
        doctest::Approx(chemistry::ln10 * (0.1 / 4 + 2e-7)).epsilon(1e-12));
  // A page that explains buffer capacity (common practice) prints 0.05758, with 2.303 for ln 10.
  CHECK(std::abs(solution.buffer_capacity() - 0.05758) < 2e-5);
}
