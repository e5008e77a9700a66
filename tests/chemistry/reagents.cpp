// SPDX-License-Identifier: MIT
#include "reagents.hpp"

using namespace counterion;

namespace test {
namespace {

const std::map<std::string, int> charges{
    {"sodium", 1}, {"potassium", 1}, {"chloride", -1}, {"calcium", 2}};

}  // namespace

Reagents::Reagents() : acids_(protolytes_of("constants.csv")) {
  for (const Row& row : rows_of("reagents.csv")) parts_[row.text("reagent")] = row.text("parts");
}

void Reagents::add(std::vector<Amount>& amounts, const std::string& reagent,
                   double mol_per_kg) const {
  for (const auto& part : words_of(parts_.at(reagent))) {
    const auto [substance, count] = halves_of(part, '=');
    const Molality molality = counterion::mol_per_kg(std::stod(count) * mol_per_kg);
    const auto ion = charges.find(substance);
    if (ion == charges.end())
      amounts.push_back({acids_.at(substance), molality});
    else
      amounts.push_back({StrongIon{substance, ion->second}, molality});
  }
}

std::shared_ptr<const Interactions> interactions() {
  std::vector<Interaction> all;
  for (const Row& row : rows_of("interactions.csv"))
    all.push_back({{row.text("first"), static_cast<int>(row.number("first_charge"))},
                   {row.text("second"), static_cast<int>(row.number("second_charge"))},
                   row.number("epsilon_kg_per_mol")});
  return std::make_shared<Interactions>(all);
}

}  // namespace test
