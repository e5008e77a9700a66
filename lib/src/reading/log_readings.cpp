// SPDX-License-Identifier: MIT
#include <counterion/dosing/amounts.hpp>
#include <counterion/reading/log_readings.hpp>

#include "measurement_figures.hpp"

#include <algorithm>
#include <cmath>

namespace counterion {
namespace {

/// What was added on a line, in its own strength or the usual one.
std::optional<Portion> portion_of(const LogLine& line, const Tables& tables) {
  if (!line.grams || line.ingredient.empty()) return std::nullopt;
  Adjuster adjuster = adjuster_named(line.ingredient, tables);
  if (line.stock_percent) adjuster.stock_percent = *line.stock_percent;
  return Portion{std::move(adjuster), *line.grams};
}

/// In water as it usually is: it has stood in the air.
Dilution dilution_of(const LogLine& line, const Tables& tables) {
  if (!line.dilution_product_g || !line.dilution_water_g) return {};
  Dilution dilution;
  dilution.product_g = *line.dilution_product_g;
  dilution.water_g = *line.dilution_water_g;
  dilution.carbon_dioxide_mol_per_kg = carbon_dioxide_of_air(tables);
  return dilution;
}

/// What a strip's steps and the eye for its colour leave open, or what a line says that its meter
/// is off by; none for a usual meter.
std::optional<double> half_width_of(const LogLine& line, const Tables& tables) {
  if (line.method != "strip") return line.step_ph;
  const double step = line.step_ph.value_or(figure("strip-step", tables).value);
  return std::hypot(0.5 * step, figure("strip", tables).value);
}

BatchReading reading_of(const LogLine& line, std::vector<Portion> added, const Tables& tables) {
  BatchReading reading{*line.ph, std::move(added), line.place};
  reading.age_days = line.age_days;
  reading.dilution = dilution_of(line, tables);
  reading.celsius = line.temperature_celsius;
  reading.half_ph = half_width_of(line, tables);
  return reading;
}

}  // namespace

std::vector<BatchReading> readings_of(const ReadingLog& log, const Tables& tables) {
  std::vector<BatchReading> readings;
  std::vector<Portion> pending;
  for (const auto& line : log.lines) {
    if (auto portion = portion_of(line, tables)) pending.push_back(std::move(*portion));
    if (!line.ph) continue;
    readings.push_back(reading_of(line, std::move(pending), tables));
    pending.clear();
  }
  return readings;
}

bool ends_unread(const ReadingLog& log) {
  for (auto line = log.lines.rbegin(); line != log.lines.rend() && !line->ph; ++line)
    if (line->grams && !line->ingredient.empty()) return true;
  return false;
}

}  // namespace counterion
