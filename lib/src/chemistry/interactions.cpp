// SPDX-License-Identifier: MIT
#include <counterion/chemistry/interactions.hpp>
#include <counterion/error.hpp>

#include <fmt/format.h>

#include <cmath>
#include <cstdlib>

namespace counterion {
namespace {

std::string shown(const Interaction& pair) {
  return fmt::format("'{}' ({:+}) with '{}' ({:+})", pair.first.name, pair.first.charge,
                     pair.second.name, pair.second.charge);
}

/// What pairs without a measured coefficient have by their charges: Hummel (2009) and the default that the
/// speciation program SPANA prints beside it in its help text; the rule for sodium is taken over for every
/// singly charged cation but H+.
double estimated_epsilon(const Ion& cation, const Ion& anion) {
  if (anion.name == "chloride") return -0.05 + 0.1 * cation.charge;
  if (cation.charge == 1 && cation != hydrogen_ion) return 0.05 * anion.charge;
  return 0.15 + 0.15 * (cation.charge + anion.charge);
}

}  // namespace

Interactions::Interactions(const std::vector<Interaction>& all) {
  std::vector<Problem> problems;
  for (const auto& pair : all) {
    const auto say = [&](std::string what, std::string expected) {
      problems.push_back({{}, shown(pair) + std::move(what), std::move(expected), {}});
    };
    if (pair.first.charge * pair.second.charge == 0)
      say(" is no pair of ions", "charges other than 0");
    else if (!(std::abs(pair.epsilon) <= 2))
      say(fmt::format(" has the coefficient {} kg/mol", pair.epsilon), "-2 to 2");
    else if (!epsilon_.emplace(key(pair.first, pair.second), pair.epsilon).second)
      say(" comes twice", "each pair once");
  }
  if (!problems.empty()) throw BadInput(std::move(problems));
}

double Interactions::epsilon(const Ion& a, const Ion& b) const {
  if (a.charge == 0 || b.charge == 0) return 0;
  if (const auto found = epsilon_.find(key(a, b)); found != epsilon_.end()) return found->second;
  if (a.charge * b.charge > 0) return 0;
  return a.charge > 0 ? estimated_epsilon(a, b) : estimated_epsilon(b, a);
}

}  // namespace counterion
