// SPDX-License-Identifier: MIT
#include "measured.hpp"

#include "samples.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>

namespace measured {

using namespace counterion;

Formula formula_of(const test::Row& row) {
  const std::string unlisted = "unlisted ";
  auto formula = samples::formula_of(samples::items_of(row.text("ingredients")));
  for (auto& item : formula.items) {
    if (item.written.rfind(unlisted, 0) != 0) continue;
    item.written.erase(0, unlisted.size());
    item.ingredient.clear();
  }
  return formula;
}

Prediction predicted(const test::Row& row) {
  const Conditions conditions{.temperature = celsius(row.number("temperature_celsius"))};
  return predict(water_phase_of(formula_of(row), Tables::built_in(), conditions).value());
}

double distance(const test::Row& row, double ph) {
  return ph - std::clamp(ph, row.number("pH_low"), row.number("pH_high"));
}

bool touches(const test::Row& row, const Prediction& prediction) {
  return prediction.p05 <= row.number("pH_high") && prediction.p95 >= row.number("pH_low");
}

std::string line(const std::string& name, const test::Row& row, const Prediction& prediction) {
  return fmt::format("{:<28} {:5.2f} [{:5.2f} {:5.2f}]  given {} to {}", name, prediction.ph, prediction.p05,
                     prediction.p95, row.text("pH_low"), row.text("pH_high"));
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const std::size_t half = values.size() / 2;
  return values.size() % 2 ? values[half] : 0.5 * (values[half - 1] + values[half]);
}

void print(const std::vector<std::string>& lines) {
  if (!std::getenv("COUNTERION_PRINT")) return;
  for (const auto& text : lines) fmt::print("{}\n", text);
}

}  // namespace measured
