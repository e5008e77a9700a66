// SPDX-License-Identifier: MIT
#include <counterion/batch/storage.hpp>

#include "reacting_phase.hpp"

#include <fmt/format.h>

#include <cmath>

namespace counterion {
namespace {

void require_valid(const Stay& stay, double shelf_celsius) {
  std::vector<Problem> problems;
  if (!(stay.days >= 0) || !std::isfinite(stay.days))
    add_problem(problems, {}, fmt::format("kept for {} days", stay.days), "days, 0 or more");
  for (const double celsius : {stay.celsius, shelf_celsius})
    if (!(celsius >= -20 && celsius <= 80))
      add_problem(problems, {}, fmt::format("kept at {} °C", celsius), "-20 to 80 °C");
  if (!problems.empty()) throw BadInput(std::move(problems));
}

}  // namespace

std::vector<ShelfTime> on_the_shelf(const Formula& formula, const WaterPhase& phase,
                                    const Tables& tables, const Stay& stay, double shelf_celsius) {
  require_valid(stay, shelf_celsius);
  std::vector<ShelfTime> all;
  if (!kinetics::reacts(formula, phase, tables)) return all;
  const kinetics::ReactingPhase reacting(formula, phase, tables);
  for (const auto& one : reacting.reactions()) {
    const auto faster = one.reaction->rates.faster_at(stay.celsius, shelf_celsius);
    all.push_back({one.turnover.item, std::string(one.reaction->row->provenance.row_id),
                   stay.days * faster.at(), stay.days * faster.at(-1), stay.days * faster.at(1)});
  }
  return all;
}

}  // namespace counterion
