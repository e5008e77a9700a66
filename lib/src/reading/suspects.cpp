// SPDX-License-Identifier: MIT
#include "suspects.hpp"

#include <algorithm>
#include <map>
#include <mutex>

namespace counterion {
namespace {

/// The component of a material that it is bought for, and what of it is water.
struct Main {
  std::string_view component;
  double mass_fraction = 0, water = 0;
};

Main main_of(std::string_view ingredient, const Tables& tables) {
  Main main;
  for (const auto& part : tables.composition_of(ingredient)) {
    if (part.component == "water") main.water = part.mass_fraction;
    const bool active =
        part.component != "water" && part.component != "oil" && part.component != "inert";
    if (active && part.mass_fraction > main.mass_fraction)
      main.component = part.component, main.mass_fraction = part.mass_fraction;
  }
  return main;
}

/// The protolyte that a substance is, or falls apart into; empty where it has none.
std::string_view protolyte_in(std::string_view component, const Tables& tables) {
  const auto* substance = tables.substance(component);
  if (!substance) return {};
  if (substance->kind == tables::SubstanceKind::protolyte) return component;
  for (const auto& row : tables.constants_of(component)) {
    if (row.quantity != "dissociates-into") continue;
    const auto* piece = tables.substance(row.partner);
    if (piece && piece->kind == tables::SubstanceKind::protolyte) return row.partner;
  }
  return {};
}

/// Materials by the protolyte that they are bought for, and by their main component where they have
/// none; made once for a set of tables.
class Shelf {
 public:
  const std::vector<std::string_view>& beside(std::string_view ingredient,
                                              const Tables& tables) const {
    std::call_once(once_, [&] { fill(tables); });
    static const std::vector<std::string_view> nothing;
    const auto found = by_key_.find(key_of(ingredient, tables));
    return found == by_key_.end() ? nothing : found->second;
  }

 private:
  static std::string_view key_of(std::string_view ingredient, const Tables& tables) {
    constexpr double least = 0.05;  // below it is a juice or an extract
    const Main main = main_of(ingredient, tables);
    if (main.component.empty() || main.mass_fraction < least) return {};
    const auto protolyte = protolyte_in(main.component, tables);
    return protolyte.empty() ? main.component : protolyte;
  }
  void fill(const Tables& tables) const {
    for (const auto& ingredient : tables.ingredients()) {
      const auto key = key_of(ingredient.id, tables);
      if (!key.empty()) by_key_[key].push_back(ingredient.id);
    }
  }
  mutable std::once_flag once_;
  mutable std::map<std::string_view, std::vector<std::string_view>> by_key_;
};

Confusion confusion_of(std::string_view a, std::string_view b, const Tables& tables) {
  const auto is_hydrate = [](std::string_view id) {
    return id.find("hydrate") != id.npos || id.find("anhydrous") != id.npos;
  };
  if (main_of(a, tables).component != main_of(b, tables).component) return Confusion::salt_or_acid;
  return is_hydrate(a) || is_hydrate(b) ? Confusion::hydrate : Confusion::grade;
}

}  // namespace

Suspects::Suspects(const Formula& formula, const Tables& tables)
    : formula_(formula), tables_(tables) {
  for (std::size_t i = 0; i < formula.items.size(); ++i)
    if (formula.items[i].ingredient != "water" && formula.items[i].percent > 0) lines_.push_back(i);
}

std::string Suspects::name(std::size_t item) const {
  const auto& line = formula_.items[item];
  return line.listed() ? tables_.display_name(line.ingredient) : line.written;
}

bool Suspects::is_function(std::size_t item, std::string_view function) const {
  const auto* ingredient = tables_.ingredient(formula_.items[item].ingredient);
  return ingredient && tables::has_function(*ingredient, function);
}

std::vector<std::size_t> Suspects::powders() const {
  constexpr double hardly_any_water = 0.1;
  std::vector<std::size_t> found;
  for (const std::size_t i : lines_) {
    const bool solid = std::ranges::any_of(
        std::initializer_list<std::string_view>{"acid", "active", "base", "buffer", "chelator",
                                                "electrolyte", "powder", "thickener"},
        [&](std::string_view function) { return is_function(i, function); });
    const bool liquid = is_function(i, "solvent") || is_function(i, "oil") ||
                        tables_.covers("polyol", formula_.items[i].ingredient);
    if (solid && !liquid && main_of(formula_.items[i].ingredient, tables_).water < hardly_any_water)
      found.push_back(i);
  }
  return found;
}

std::vector<std::size_t> Suspects::volatiles() const {
  std::vector<std::size_t> found;
  for (const std::size_t i : lines_)
    for (const auto* subject : {"ammonia-solution", "volatile-alcohol", "acetic-acid"})
      if (tables_.covers(subject, formula_.items[i].ingredient)) found.push_back(i);
  return found;
}

std::vector<std::size_t> Suspects::polymers() const {
  std::vector<std::size_t> found;
  for (const std::size_t i : lines_) {
    if (!formula_.items[i].listed()) continue;
    const auto& material = material_of(formula_.items[i].ingredient, tables_);
    const bool has_sites = std::ranges::any_of(material.parts, [](const MaterialPart& part) {
      return std::ranges::any_of(part.pieces, [](const MaterialPart::Piece& piece) {
        return piece.substance->kind == tables::SubstanceKind::polymer_acid;
      });
    });
    if (has_sites) found.push_back(i);
  }
  return found;
}

std::vector<std::pair<std::size_t, double>> Suspects::residues(const Conditions& conditions) const {
  std::vector<std::pair<std::size_t, double>> found;
  const auto phase = water_phase_of(formula_, tables_, conditions);
  if (!phase) return found;
  for (const auto& driver : phase->drivers)
    if (driver.kind == DriverKind::residual_charge)
      found.emplace_back(*driver.item, 0.5 * (driver.high - driver.low));
  return found;
}

std::vector<std::string> Suspects::others(std::size_t item, Confusion confusion) const {
  std::vector<std::string> found;
  const auto& id = formula_.items[item].ingredient;
  if (id.empty()) return found;
  for (const auto other : tables_.derived<Shelf>().beside(id, tables_))
    if (other != id && confusion_of(id, other, tables_) == confusion) found.emplace_back(other);
  return found;
}

double Suspects::strength(std::size_t item) const {
  const auto& line = formula_.items[item];
  if (line.strength_percent) return *line.strength_percent / 100;
  return line.listed() ? 1 - main_of(line.ingredient, tables_).water : 1;
}

double Suspects::oil_and_alcohol_percent() const {
  double sum = 0;
  for (const std::size_t i : lines_) {
    const auto& id = formula_.items[i].ingredient;
    if (tables_.covers("volatile-alcohol", id)) sum += percent(i);
    for (const auto& part : tables_.composition_of(id))
      if (part.component == "oil") sum += percent(i) * part.mass_fraction;
  }
  return sum;
}

bool Suspects::changes() const {
  const auto moves_the_ph = [](const tables::Change& row) {
    return (row.quantity == "rate-constant" || row.quantity == "half-life") &&
           row.acid_base_effect != "none";
  };
  return std::ranges::any_of(lines_, [&](std::size_t i) {
    return std::ranges::any_of(tables_.changes_of(formula_.items[i].ingredient), moves_the_ph);
  });
}

}  // namespace counterion
