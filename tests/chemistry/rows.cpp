// SPDX-License-Identifier: MIT
#include "rows.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <sstream>

namespace test {
namespace {

counterion::Ionisation step_of(const Row& row) {
  return {row.number("pK"), row.number("dH_kJ_per_mol"), row.number("dCp_J_per_mol_K"), 0};
}

}  // namespace

std::vector<Row> rows_of(const std::string& name) {
  auto rows = rows_of_file("chemistry/data/" + name);
  for (const Row& row : rows) {
    REQUIRE(row.has("source"));
    REQUIRE(row.has("reliability"));
  }
  return rows;
}

std::map<std::string, counterion::Protolyte> protolytes_of(const std::string& name) {
  std::map<std::string, std::vector<Row>> ladders;
  for (const Row& row : rows_of(name)) ladders[row.text("substance")].push_back(row);
  std::map<std::string, counterion::Protolyte> protolytes;
  for (const auto& [substance, steps] : ladders) {
    std::vector<counterion::Ionisation> ladder;
    std::vector<double> sizes;
    for (const Row& row : steps) ladder.push_back(step_of(row));
    if (steps[0].has("ion_size_of_protonated_form_angstrom")) {
      sizes.push_back(steps[0].number("ion_size_of_protonated_form_angstrom"));
      for (const Row& row : steps) sizes.push_back(row.number("ion_size_of_other_form_angstrom"));
    }
    const int charge = static_cast<int>(steps[0].number("charge_of_protonated_form"));
    protolytes.emplace(substance, counterion::Protolyte(charge, ladder, substance, sizes));
  }
  return protolytes;
}

std::vector<std::string> words_of(const std::string& text) {
  std::istringstream stream(text);
  return {std::istream_iterator<std::string>(stream), {}};
}

std::pair<std::string, std::string> halves_of(const std::string& text, char mark) {
  const auto at = text.find(mark);
  REQUIRE(at != std::string::npos);
  return {text.substr(0, at), text.substr(at + 1)};
}

void Deviations::add(double deviation, const std::string& where) {
  ++count_;
  squares_ += deviation * deviation;
  if (std::abs(deviation) <= worst_) return;
  worst_ = std::abs(deviation);
  where_ = where;
}

double Deviations::rms() const {
  return count_ == 0 ? 0 : std::sqrt(squares_ / static_cast<double>(count_));
}

std::string Deviations::summary() const {
  return fmt::format("{} values, rms {:.2g}, worst {:.2g} ({})", count_, rms(), worst_, where_);
}

}  // namespace test
