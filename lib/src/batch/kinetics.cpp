// SPDX-License-Identifier: MIT
#include "kinetics.hpp"

#include <counterion/chemistry/water.hpp>
#include <counterion/quantities.hpp>
#include <counterion/text/number.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <mutex>

namespace counterion::kinetics {
namespace {

using chemistry::ln10;
using tables::SubstanceKind;

/// Beyond the last row a rate is less sure by this much a pH unit, in decades (assumption).
constexpr double decades_per_ph_beyond = 0.3;
/// Of a printed activation energy (assumption).
constexpr double printed_activation_share = 0.1;

double rate_per_s(const tables::Change& row) {
  return row.quantity == "half-life" ? std::log(2.0) / (*row.value * 3600) : *row.value;
}

/// Whether a row gives the speed of a reaction that makes or takes acid or base.
bool gives_speed(const tables::Change& row) {
  const bool in_known_unit = (row.quantity == "rate-constant" && row.unit == "1/s") ||
                             (row.quantity == "half-life" && row.unit == "h");
  return in_known_unit && row.acid_base_effect != "none" && row.value && *row.value > 0;
}

/// Middle of what several rows say of one number, their disagreement in its half width.
Decades together(std::span<const Decades> all) {
  Decades sum;
  double square = 0, off = 0;
  for (const auto& one : all) sum.log10 += one.log10, square += one.half * one.half;
  const auto count = static_cast<double>(all.size());
  sum.log10 /= count;
  for (const auto& one : all) off = std::max(off, std::abs(one.log10 - sum.log10));
  sum.half = std::sqrt(square / count + off * off);
  return sum;
}

}  // namespace

double Decades::at(double ends) const {
  return std::exp(ln10 * (log10 + ends * half));
}

RatesByPH::RatesByPH(std::span<const Row> rows) {
  std::vector<double> ends;
  for (const auto& row : rows) ends.push_back(row.low_ph), ends.push_back(row.high_ph);
  std::ranges::sort(ends);
  ends.erase(std::unique(ends.begin(), ends.end()), ends.end());
  for (const double ph : ends) {
    std::vector<Decades> here;
    for (const auto& row : rows)
      if (row.low_ph <= ph && ph <= row.high_ph) here.push_back(row.constant);
    knots_.push_back({ph, together(here)});
  }
}

Decades RatesByPH::at(double ph) const {
  const auto beyond = [](const Knot& last, double by) {
    return Decades{last.constant.log10, last.constant.half + decades_per_ph_beyond * by};
  };
  if (ph <= knots_.front().ph) return beyond(knots_.front(), knots_.front().ph - ph);
  if (ph >= knots_.back().ph) return beyond(knots_.back(), ph - knots_.back().ph);
  const auto next = std::ranges::upper_bound(knots_, ph, {}, &Knot::ph);
  const auto& last = *std::prev(next);
  const double share = (ph - last.ph) / (next->ph - last.ph);
  return {std::lerp(last.constant.log10, next->constant.log10, share),
          std::lerp(last.constant.half, next->constant.half, share)};
}

void RateLaw::add(const tables::Change& row, const Assumed& assumed) {
  const auto& printed = row.activation_energy_kJ_per_mol;
  rows_.push_back({row.minimum_ph.value_or(0),
                   row.maximum_ph.value_or(14),
                   {std::log10(rate_per_s(row)), half_width_of(row.provenance.reliability)},
                   row.temperature_celsius.value_or(25) + ice_point_kelvin,
                   printed.value_or(0.5 * (assumed.low + assumed.high)),
                   printed ? printed_activation_share * std::abs(*printed)
                           : 0.5 * (assumed.high - assumed.low)});
}

RatesByPH RateLaw::at(double celsius) const {
  std::vector<RatesByPH::Row> rows;
  for (const auto& row : rows_) {
    const double decades_per_kJ = 1000 / (chemistry::gas_constant_J_per_mol_K * ln10) *
                                  (1 / row.kelvin - 1 / (celsius + ice_point_kelvin));
    rows.push_back({row.low_ph,
                    row.high_ph,
                    {row.constant.log10 + row.activation * decades_per_kJ,
                     std::hypot(row.constant.half, row.activation_half * decades_per_kJ)}});
  }
  return RatesByPH(rows);
}

Decades RateLaw::faster_at(double celsius, double reference_celsius) const {
  const double decades_per_kJ =
      1000 / (chemistry::gas_constant_J_per_mol_K * ln10) *
      (1 / (reference_celsius + ice_point_kelvin) - 1 / (celsius + ice_point_kelvin));
  std::vector<Decades> all;
  for (const auto& row : rows_)
    all.push_back(
        {row.activation * decades_per_kJ, std::abs(row.activation_half * decades_per_kJ)});
  return all.empty() ? Decades() : together(all);
}

bool TimedReaction::bound_in_itself() const {
  return std::ranges::count(products, component) > 0;
}

double half_width_of(tables::Reliability reliability) {
  switch (reliability) {
    case tables::Reliability::own:
    case tables::Reliability::looked_up:
    case tables::Reliability::computed:
      return std::log10(1.5);
    case tables::Reliability::common_practice:
      return std::log10(3.0);
    case tables::Reliability::memory:
      return std::log10(5.0);
    case tables::Reliability::assumption:
      break;
  }
  return 1;
}

bool is_surer(const tables::Change& row, const tables::Change& other) {
  const auto order = [](const tables::Change& one) {
    const auto reliability = one.provenance.reliability;
    return reliability == tables::Reliability::own ? -1 : static_cast<int>(reliability);
  };
  return order(row) < order(other);
}

namespace {

/// The protons and hydroxide ions of a row are the water's own: the balance finds them.
bool is_of_the_water(std::string_view substance) {
  return substance == "hydrogen-ion" || substance == "hydroxide-ion";
}

/// A substance as the pieces it falls apart into.
std::vector<Turnover> pieces_of(const tables::Substance& substance, const Tables& tables) {
  if (substance.kind != SubstanceKind::compound) return {{&substance, 1}};
  std::vector<Turnover> pieces;
  for (const auto& row : tables.constants_of(substance.id))
    if (row.quantity == "dissociates-into" && row.rank == 1)
      pieces.push_back({tables.substance(row.partner), row.value});
  return pieces;
}

std::string_view trimmed(std::string_view text) {
  const auto first = text.find_first_not_of(' ');
  if (first == text.npos) return {};
  return text.substr(first, text.find_last_not_of(' ') - first + 1);
}

/// One term of a sum: how many of which.
std::pair<double, std::string_view> term_of(std::string_view term) {
  term = trimmed(term);
  const auto blank = term.find(' ');
  if (blank == term.npos) return {1, term};
  const auto count = text::read_plain_number(term.substr(0, blank));
  return {count.value_or(0), trimmed(term.substr(blank))};
}

}  // namespace

Products products_of(std::string_view sum, const Tables& tables) {
  Products products{{}, true};
  while (!sum.empty()) {
    const auto plus = sum.find('+');
    const auto [count, id] = term_of(sum.substr(0, plus));
    const auto* substance = tables.substance(id);
    const bool dissolves = substance && substance->kind != SubstanceKind::polymer_acid;
    if (dissolves && count > 0)
      products.terms.push_back({substance, count});
    else if (id != "inert" || !(count > 0))
      products.known = false;
    sum = plus == sum.npos ? std::string_view() : sum.substr(plus + 1);
  }
  return products;
}

namespace {

void add_to(std::vector<Turnover>& turnover, const Turnover& more) {
  if (!more.substance || is_of_the_water(more.substance->id)) return;
  const auto known = std::ranges::find(turnover, more.substance, &Turnover::substance);
  if (known == turnover.end())
    turnover.push_back(more);
  else
    known->mol_per_mol += more.mol_per_mol;
}

/// What of a reactant reacts: of a salt its acids and bases, or where it has none its heaviest ion;
/// its other ions stay.
std::vector<Turnover> reacting_pieces(const tables::Substance& component, const Tables& tables) {
  auto pieces = pieces_of(component, tables);
  std::erase_if(pieces, [](const Turnover& piece) { return !piece.substance; });
  const auto is_ion = [](const Turnover& piece) {
    return piece.substance->kind == SubstanceKind::ion;
  };
  const auto mass = [](const Turnover& piece) { return piece.substance->molar_mass_g_per_mol; };
  if (!pieces.empty() && std::ranges::all_of(pieces, is_ion))
    return {*std::ranges::max_element(pieces, {}, mass)};
  std::erase_if(pieces, is_ion);
  return pieces;
}

/// What a mole changes. Where the composition counts a part as reacted, the pieces weighed in are
/// what appears.
std::vector<Turnover> turnover_of(const TimedReaction& reaction, std::span<const Turnover> products,
                                  const Tables& tables) {
  std::vector<Turnover> turnover;
  if (reaction.fresh_share > 0) {
    for (const auto& piece : pieces_of(*reaction.component, tables)) add_to(turnover, piece);
    return turnover;
  }
  for (const auto& product : products)
    for (const auto& piece : pieces_of(*product.substance, tables))
      add_to(turnover, {piece.substance, piece.mol_per_mol * product.mol_per_mol});
  for (const auto& piece : reacting_pieces(*reaction.component, tables))
    add_to(turnover, {piece.substance, -piece.mol_per_mol});
  std::erase_if(turnover,
                [](const Turnover& piece) { return std::abs(piece.mol_per_mol) < 1e-12; });
  return turnover;
}

/// Whether the charges of the water notice.
bool moves_charge(const Turnover& piece) {
  return piece.substance->kind == SubstanceKind::protolyte || piece.substance->charge != 0;
}

/// The row of the component of which an ingredient has most, water and what stays outside of it
/// left aside.
const tables::Component* main_component(std::string_view ingredient, const Tables& tables) {
  const tables::Component* main = nullptr;
  for (const auto& row : tables.composition_of(ingredient)) {
    const bool bulk =
        row.component == "water" || row.component == "oil" || row.component == "inert";
    if (!bulk && (!main || row.mass_fraction > main->mass_fraction)) main = &row;
  }
  return main;
}

RateLaw::Assumed assumed_activation(const Tables& tables) {
  for (const auto& row : tables.levels_of("batch"))
    if (row.kind == "activation-energy" && row.rank == 1)
      return {row.value, row.upper_value.value_or(row.value)};
  return {};
}

/// The way back, where the acid's pK is that of the acid alone. That of gluconic acid was chosen
/// for acid and lactone together (3.74, not 3.5): opening then goes all the way, to the prediction
/// as built, and its rows have a quantity of another name.
std::optional<Decades> ratio_of(std::span<const tables::Change> rows, std::string_view product) {
  std::vector<Decades> all;
  for (const auto& row : rows)
    if (row.quantity == "lactone-to-acid-ratio" && row.product == product &&
        row.value.value_or(0) > 0)
      all.push_back({std::log10(*row.value), half_width_of(row.provenance.reliability)});
  return all.empty() ? std::nullopt : std::optional(together(all));
}

double fresh_share_of(std::span<const tables::Change> rows, std::string_view product) {
  const tables::Change* surest = nullptr;
  for (const auto& row : rows)
    if (row.quantity == "unreacted-when-fresh" && row.product == product && row.value &&
        (!surest || is_surer(row, *surest)))
      surest = &row;
  return surest ? std::clamp(*surest->value / 100, 0.0, 1.0) : 0;
}

/// The reactions of one ingredient, one a product.
class ReactionMaker {
 public:
  ReactionMaker(std::string_view ingredient, const tables::Substance& component,
                const Tables& tables)
      : ingredient_(ingredient),
        component_(component),
        tables_(tables),
        rows_(tables.changes_of(ingredient)),
        assumed_(assumed_activation(tables)) {}

  std::vector<TimedReaction> all() const {
    std::vector<std::string_view> products;
    for (const auto& row : rows_)
      if (gives_speed(row) && !std::ranges::count(products, row.product))
        products.push_back(row.product);
    std::vector<TimedReaction> reactions;
    for (const auto product : products)
      if (auto reaction = reaction_to(product)) reactions.push_back(std::move(*reaction));
    return reactions;
  }

 private:
  std::optional<TimedReaction> reaction_to(std::string_view product) const {
    const Products products = products_of(product, tables_);
    if (!products.known) return std::nullopt;
    TimedReaction reaction{ingredient_,
                           &component_,
                           {},
                           {},
                           {},
                           fresh_share_of(rows_, product),
                           ratio_of(rows_, product),
                           nullptr};
    for (const auto& term : products.terms) reaction.products.push_back(term.substance);
    reaction.turnover = turnover_of(reaction, products.terms, tables_);
    if (std::ranges::none_of(reaction.turnover, moves_charge)) return std::nullopt;
    for (const auto& row : rows_) {
      if (row.product != product || !gives_speed(row)) continue;
      reaction.rates.add(row, assumed_);
      if (!reaction.row || is_surer(row, *reaction.row)) reaction.row = &row;
    }
    return reaction;
  }

  std::string_view ingredient_;
  const tables::Substance& component_;
  const Tables& tables_;
  std::span<const tables::Change> rows_;
  RateLaw::Assumed assumed_;
};

/// All reactions of one set of tables, worked out when they are first asked for.
class ReactionShelf {
 public:
  std::span<const TimedReaction> of(std::string_view ingredient, const tables::Substance* component,
                                    const Tables& tables) const {
    std::call_once(once_, [&] { fill(tables); });
    if (!component || reactions_.empty()) return {};
    const auto own = reactions_.find(ingredient);
    if (own != reactions_.end() && own->second.front().component == component) return own->second;
    const auto borrowed = by_component_.find(component);
    return borrowed != by_component_.end() ? std::span<const TimedReaction>(*borrowed->second)
                                           : std::span<const TimedReaction>();
  }

 private:
  void fill(const Tables& tables) const {
    std::map<const tables::Substance*, double> most;
    for (const auto& ingredient : tables.ingredients()) {
      if (tables.changes_of(ingredient.id).empty()) continue;
      const auto* main = main_component(ingredient.id, tables);
      const auto* component = main ? tables.substance(main->component) : nullptr;
      if (!component) continue;
      auto reactions = ReactionMaker(ingredient.id, *component, tables).all();
      if (reactions.empty()) continue;
      const auto& kept = reactions_[ingredient.id] = std::move(reactions);
      if (std::ranges::any_of(kept, &TimedReaction::bound_in_itself)) continue;
      if (main->mass_fraction > most[component])
        most[component] = main->mass_fraction, by_component_[component] = &kept;
    }
  }
  mutable std::once_flag once_;
  mutable std::map<std::string_view, std::vector<TimedReaction>> reactions_;
  mutable std::map<const tables::Substance*, const std::vector<TimedReaction>*> by_component_;
};

}  // namespace

std::span<const TimedReaction> reactions_of(std::string_view ingredient,
                                            const tables::Substance* component,
                                            const Tables& tables) {
  return tables.derived<ReactionShelf>().of(ingredient, component, tables);
}

bool is_timed(const tables::Change& row, const Tables& tables) {
  if (!gives_speed(row)) return false;
  const auto* main = main_component(row.reactant, tables);
  const auto* component = main ? tables.substance(main->component) : nullptr;
  return component && products_of(row.product, tables).known;
}

}  // namespace counterion::kinetics
