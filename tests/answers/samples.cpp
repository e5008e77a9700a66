// SPDX-License-Identifier: MIT
#include "samples.hpp"

#include <counterion/formula/read.hpp>

#include <fstream>
#include <iterator>
#include <sstream>
#include <stdexcept>

namespace samples {

using namespace counterion;

Formula sample(const std::string& name) {
  std::ifstream file(std::string(COUNTERION_SOURCE_DIR) + "/cli/samples/" + name + ".csv",
                     std::ios::binary);
  const std::string text{std::istreambuf_iterator<char>(file), {}};
  return read_formula(text, name + ".csv", Tables::built_in());
}

std::vector<std::string> split(const std::string& text, char mark) {
  std::vector<std::string> parts;
  std::istringstream stream(text);
  for (std::string part; std::getline(stream, part, mark);) {
    const auto first = part.find_first_not_of(' ');
    parts.push_back(first == part.npos ? std::string() : part.substr(first, part.find_last_not_of(' ') - first + 1));
  }
  return parts;
}

std::vector<std::pair<std::string, double>> items_of(const std::string& text) {
  std::vector<std::pair<std::string, double>> items;
  for (const auto& item : split(text, ';')) {
    const auto blank = item.find_last_of(' ');
    items.emplace_back(item.substr(0, blank), std::stod(item.substr(blank + 1)));
  }
  return items;
}

Formula formula_of(const std::vector<std::pair<std::string, double>>& items, const std::string& type,
                   const std::string& use) {
  Formula formula;
  formula.product_type = type;
  formula.use = use;
  double rest = 100;
  for (const auto& [id, percent] : items) {
    FormulaItem item;
    item.written = item.ingredient = id;
    item.percent = percent;
    formula.items.push_back(item);
    rest -= percent;
  }
  FormulaItem water;
  water.written = water.ingredient = "water";
  water.percent = rest;
  water.fills_to_100 = true;
  formula.items.push_back(water);
  formula.total_percent = 100;
  return formula;
}

Prediction predicted(const std::vector<std::pair<std::string, double>>& items) {
  return predict(water_phase_of(formula_of(items), Tables::built_in()).value());
}

std::size_t line_of(const Formula& formula, const std::string& ingredient) {
  for (std::size_t i = 0; i < formula.items.size(); ++i)
    if (formula.items[i].ingredient == ingredient) return i;
  throw std::out_of_range("no " + ingredient);
}

}  // namespace samples
