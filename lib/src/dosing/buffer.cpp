// SPDX-License-Identifier: MIT
#include <counterion/dosing/buffer.hpp>

#include <counterion/dosing/amounts.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

namespace counterion {
namespace {

constexpr std::string_view acid_class = "buffer-acid-", base_class = "buffer-base-";

/// The pH is the wanted one where it comes this near (as for an adjuster).
constexpr double same_ph = 0.02;
/// Less water in one line, percent of the formula, is left alone: the pair comes on top (assumption).
constexpr double least_water_line = 20;

// ---- the aim

void check_between(double value, double low, double high, const char* what, std::vector<Problem>& problems) {
  if (!(value >= low && value <= high))
    add_problem(problems, {}, fmt::format("{} of {}", what, value), fmt::format("{} to {}", low, high));
}

void check(const BufferAim& aim) {
  std::vector<Problem> problems;
  check_between(aim.ph, 0, 14, "a pH", problems);
  check_between(aim.acid_mmol_per_kg, 0, 1000, "an acid load", problems);
  check_between(aim.base_mmol_per_kg, 0, 1000, "a base load", problems);
  check_between(aim.most_shift, 0.001, 2, "a shift", problems);
  if (aim.acid_mmol_per_kg == 0 && aim.base_mmol_per_kg == 0)
    add_problem(problems, {}, "no load", "mmol of acid or of base per kg of the batch");
  if (!problems.empty()) throw BadInput(std::move(problems));
}

/// The pH of a mixture under the loads, in mol for one kilogram of its water.
LoadedPH loaded(const chemistry::Mixture& mixture, double ph, double acid, double base, const WaterPhase& phase) {
  const auto with = [&](double charge) {
    chemistry::Mixture more = mixture;
    more.add_strong_charge(charge);
    return chemistry::with_model(model_choice(phase.conditions), [&](const auto& model) {
      return -chemistry::solve(more, phase.water, model).x / chemistry::ln10;
    });
  };
  LoadedPH result{ph, std::nullopt, std::nullopt};
  if (acid > 0) result.after_acid = with(-acid);
  if (base > 0) result.after_base = with(base);
  return result;
}

LoadedPH loaded(const chemistry::Mixture& mixture, double ph, const WaterPhase& phase, const BufferAim& aim) {
  const double kg_batch = 100 / phase.water_percent, mol = kg_batch / 1000;
  return loaded(mixture, ph, aim.acid_mmol_per_kg * mol, aim.base_mmol_per_kg * mol, phase);
}

/// The phase brought to the pH by strong acid or base.
std::optional<LoadedPH> loaded_once_there(const WaterPhase& phase, double ph_as_it_is, const BufferAim& aim) {
  chemistry::Addition strong;
  strong.brings.add_strong_charge(ph_as_it_is > aim.ph ? -1 : 1);
  const auto amount = chemistry::with_model(model_choice(phase.conditions), [&](const auto& model) {
    return chemistry::amount_holding(std::pow(10.0, -aim.ph), phase.mixture, strong, phase.water, model, 10.0);
  });
  if (!amount) return std::nullopt;
  return loaded(chemistry::with_addition(phase.mixture, strong, *amount), aim.ph, phase, aim);
}

// ---- the sums

const FormulaItem* largest_water_line(const Formula& formula) {
  const FormulaItem* most = nullptr;
  for (const auto& item : formula.items)
    if (item.ingredient == "water" && (!most || item.percent > most->percent)) most = &item;
  return most;
}

/// The formula and what is the same for every pair.
struct Question {
  const Formula& formula;
  const WaterPhase& phase;
  const BufferAim& aim;
  const Tables& tables;
  const Judging& judging;
  LoadedPH as_it_is;
  double ionic_strength = 0;
  double water_line = 0;  ///< percent
  std::vector<FiredCaution> cautions, cautions_as_it_is;  ///< at the aim, and where it stands
  Interval window;                                        ///< of the hard ranges

  bool from_water() const { return water_line >= least_water_line; }
};

/// A partner ready to be added, amounts in grams as supplied per kilogram of the phase's water.
struct Partner {
  chemistry::Addition addition;
  double dry = 0;   ///< grams in a gram that are not water
  double most = 0;  ///< grams that are looked at

  Partner(std::string_view ingredient, const Question& question) {
    const Material& material = material_of(ingredient, question.tables);
    addition = addition_of(material, question.phase, question.tables);
    dry = std::max(1 - material.water_g_per_g, 1e-3);
    if (question.from_water()) addition.water_kg -= 1e-3;
    const double all = 1000 * most_buffer_percent / dry / question.phase.water_percent;
    most = question.from_water() ? std::min(all, 500 / dry) : all;
  }
};

/// Grams of both partners per kilogram of the phase's water.
struct Grams {
  double acid = 0, base = 0;
};

/// Both partners beside the formula's water phase. The one that brings the formula to the pH is the first;
/// more of the second asks for more of the first, and together they buffer.
class PairSums {
 public:
  PairSums(const Question& question, const Partner& acid, const Partner& base)
      : question_(question), phase_(question.phase), needs_acid_(question.as_it_is.ph > question.aim.ph),
        first_(needs_acid_ ? acid : base), second_(needs_acid_ ? base : acid) {}

  /// The least that holds a pH within a shift; empty where no amount that is looked at does.
  std::optional<Grams> least(double ph, double shift) const {
    const auto excess = [&](double second) {
      const double first = first_for(second, ph).value_or(0);
      return with_both(second, first, ph).shift_from(ph) - shift;
    };
    if (excess(0) <= 0) return in_order(0, first_for(0, ph).value_or(0));
    const double most = most_second(ph);
    if (!(excess(most) < 0)) return std::nullopt;
    const double second = chemistry::bracketed_root(excess, 0.0, most);
    return in_order(second, first_for(second, ph).value_or(0));
  }
  /// Where much of one partner alone would take the pH.
  double end(const Partner& partner) const {
    return solved(chemistry::with_addition(phase_.mixture, partner.addition, partner.most));
  }

 private:
  Grams in_order(double second, double first) const {
    return needs_acid_ ? Grams{first, second} : Grams{second, first};
  }
  double solved(const chemistry::Mixture& mixture) const {
    return chemistry::with_model(model_choice(phase_.conditions), [&](const auto& model) {
      return -chemistry::solve(mixture, phase_.water, model).x / chemistry::ln10;
    });
  }
  /// The first partner that holds the pH beside so much of the second.
  std::optional<double> first_for(double second, double ph) const {
    const auto beside = chemistry::with_addition(phase_.mixture, second_.addition, second);
    const double water = 1 + second * second_.addition.water_kg;
    const double most = question_.from_water() ? 900 / first_.dry : 5000;
    const auto first = chemistry::with_model(model_choice(phase_.conditions), [&](const auto& model) {
      return chemistry::amount_holding(std::pow(10.0, -ph), beside, first_.addition, phase_.water, model, most);
    });
    return first ? std::optional(*first * water) : std::nullopt;
  }
  /// As much of the second as the first can still go along with.
  double most_second(double ph) const {
    double most = second_.most;
    for (int halved = 0; halved < 10 && !first_for(most, ph); ++halved) most /= 2;
    return most;
  }
  LoadedPH with_both(double second, double first, double ph) const {
    const auto beside = chemistry::with_addition(phase_.mixture, second_.addition, second);
    const double water = 1 + second * second_.addition.water_kg;
    const auto both = chemistry::with_addition(beside, first_.addition, first / water);
    const double on_top = question_.from_water() ? 0 : (first + second) / 1000;
    const double kg_batch = (100 / phase_.water_percent + on_top) / (water + first * first_.addition.water_kg);
    return loaded(both, ph, question_.aim.acid_mmol_per_kg * kg_batch / 1000,
                  question_.aim.base_mmol_per_kg * kg_batch / 1000, phase_);
  }

  const Question& question_;
  const WaterPhase& phase_;
  bool needs_acid_;
  const Partner &first_, &second_;
};

/// The pK of the partners that lies nearest to a pH; what is no more than a trace does not count.
double nearest_pK(double ph, const Partner& acid, const Partner& base) {
  double most = 0, nearest = INFINITY;
  for (const auto* partner : {&acid, &base})
    for (const auto& part : partner->addition.brings.protolytes) most = std::max(most, part.molality);
  for (const auto* partner : {&acid, &base})
    for (const auto& part : partner->addition.brings.protolytes)
      for (const double K : part.ladder.K)
        if (part.molality >= 0.1 * most && std::abs(-std::log10(K) - ph) < std::abs(nearest - ph))
          nearest = -std::log10(K);
  return nearest;
}

// ---- one pair

void set_amounts(Grams grams, const Question& question, const Partner& acid, const Partner& base, BufferPair& pair) {
  const double per_gram = question.phase.water_percent / 1000;  // percent of the formula as it stands
  const double whole = question.from_water() ? 100 : 100 + (grams.acid + grams.base) * per_gram;
  const auto set = [&](BufferPartner& partner, double amount) {
    partner.percent = amount * per_gram * 100 / whole;
    partner.grams = amount * per_gram * question.formula.batch_g / 100;
  };
  set(pair.acid, grams.acid);
  set(pair.base, grams.base);
  pair.percent_dry = pair.acid.percent * acid.dry + pair.base.percent * base.dry;
}

/// The formula with the pair as it really is: with water's place taken, glycols and oil weigh more in what is
/// left. The sums are asked for a pH and a shift that miss by as much the other way.
class Fit {
 public:
  Fit(const Question& question, const Partner& acid, const Partner& base, BufferPair& pair)
      : question_(question), acid_(acid), base_(base), sums_(question, acid, base), pair_(pair) {}

  /// Sets the pair's amounts and pH; empty where the least of it is more than can be asked for.
  std::optional<WaterPhase> found() {
    double ph = question_.aim.ph, shift = wanted_shift();
    std::optional<WaterPhase> phase;
    for (int pass = 0; pass < 12; ++pass) {
      const auto grams = sums_.least(ph, shift);
      phase = grams ? with(*grams) : std::nullopt;
      if (!phase || is_settled(*grams)) break;
      ph += std::clamp(question_.aim.ph - pair_.ph.ph, -1.0, 1.0);
      shift = std::clamp(shift + wanted_shift() - moved(), 0.2 * wanted_shift(), 2 * wanted_shift());
    }
    return phase;
  }
  bool holds() const {
    return std::abs(pair_.ph.ph - question_.aim.ph) <= 1e-4 && moved() <= question_.aim.most_shift;
  }

 private:
  double wanted_shift() const { return 0.999 * question_.aim.most_shift; }
  double moved() const { return pair_.ph.shift_from(question_.aim.ph); }
  std::optional<WaterPhase> with(Grams grams) {
    set_amounts(grams, question_, acid_, base_, pair_);
    if (question_.from_water() && pair_.acid.percent + pair_.base.percent >= question_.water_line) return std::nullopt;
    auto phase = water_phase_of(with_buffer(question_.formula, pair_, question_.tables), question_.tables,
                                question_.phase.conditions, Sureness::left_aside);
    if (phase) pair_.ph = loaded(phase->mixture, ph_of(*phase), *phase, question_.aim);
    return phase;
  }
  bool is_settled(Grams grams) const {
    const bool one_does = grams.acid == 0 || grams.base == 0;
    const double off = moved() - wanted_shift();
    return std::abs(pair_.ph.ph - question_.aim.ph) < 1e-5 &&
           (one_does ? off <= 0 : std::abs(off) < 5e-4 * question_.aim.most_shift);
  }

  const Question& question_;
  const Partner &acid_, &base_;
  PairSums sums_;
  BufferPair& pair_;
};

/// Why a pair cannot be a buffer there, before any amount is looked for; empty where it can.
std::string cannot_buffer(const Question& question, const Partner& acid, const Partner& base, const BufferPair& pair) {
  const double ph = question.aim.ph, pK = nearest_pK(ph, acid, base);
  if (!(std::abs(pK - ph) <= most_pK_distance))
    return fmt::format("it buffers elsewhere: its nearest pK is {:.2f}", pK);
  const PairSums sums(question, acid, base);
  if (const double end = sums.end(acid); !(end < ph))
    return fmt::format("even much of {} ends near pH {:.1f}", pair.acid.name, end);
  if (const double end = sums.end(base); !(end > ph))
    return fmt::format("even much of {} ends near pH {:.1f}", pair.base.name, end);
  return {};
}

// ---- what it does to the formula

bool among(const std::vector<FiredCaution>& cautions, const FiredCaution& one) {
  return std::ranges::find(cautions, one.id, &FiredCaution::id) != cautions.end();
}

/// Lines of the formula as it was are the first ones.
bool any_line(const std::vector<std::size_t>& items, std::size_t first, std::size_t end) {
  return std::ranges::any_of(items, [&](std::size_t i) { return first <= i && i < end; });
}

/// Whether a caution tells of salt that thins, which `thinning` says in figures.
bool tells_of_thinning(const FiredCaution& caution, const BufferPair& pair, const Tables& tables) {
  const auto row = std::ranges::find(tables.cautions(), caution.id, &tables::Caution::id);
  return row != tables.cautions().end() && row->a == "electrolyte" && !pair.electrolyte.thickeners.empty();
}

/// A stop that the formula did not have, or did not have where it stands, ends it.
void add_cautions(const Question& question, const Formula& buffered, BufferPair& pair) {
  const std::size_t old = question.formula.items.size();
  for (auto& caution : cautions_of(buffered, question.aim.ph, question.aim.ph, question.tables)) {
    const bool stop = caution.severity == tables::Severity::stop;
    if (among(stop ? question.cautions_as_it_is : question.cautions, caution)) continue;
    if (stop && pair.why_not.empty()) pair.why_not = caution.what_happens;
    const bool meets = any_line(caution.items, 0, old) && any_line(caution.items, old, buffered.items.size());
    if (meets && !tells_of_thinning(caution, pair, question.tables))
      pair.clashes += caution.severity == tables::Severity::note ? 0.25 : 1;
    pair.cautions.push_back(std::move(caution));
  }
}

void add_limits(const Question& question, const Formula& buffered, BufferPair& pair) {
  for (auto& limit : limits_of(buffered, question.tables, question.judging))
    if (limit.exceeded && any_line(limit.items, question.formula.items.size(), buffered.items.size())) {
      pair.clashes += 2;
      pair.limits.push_back(std::move(limit));
    }
}

void add_ranges(const Question& question, const Formula& buffered, BufferPair& pair) {
  for (auto& range : working_ranges(buffered, question.tables, question.judging)) {
    const Interval span = range.interval();
    const bool narrows = span.low > question.window.low || span.high < question.window.high;
    if (!range.hard || !narrows || !any_line(range.items, question.formula.items.size(), buffered.items.size()))
      continue;
    pair.outside_range = pair.outside_range || !span.contains(question.aim.ph);
    pair.narrowing.push_back(std::move(range));
  }
  if (pair.outside_range) pair.clashes += 1;
}

/// Where the load stands between the salt where a thickener begins to thin and that where it is gone, as
/// ratios; where the end is not known, a decade (assumption).
double thinning_of(const Electrolyte& electrolyte) {
  double worst = 0;
  for (const auto& state : electrolyte.thickeners)
    if (electrolyte.thins(state) && state.starts > 0) {
      const double whole = std::log(state.complete.value_or(10 * state.starts) / state.starts);
      const double way = std::log(electrolyte.load / state.starts);
      worst = std::max(worst, whole > 0 ? std::min(1.0, way / whole) : 1.0);
    }
  return worst;
}

void add_consequences(const Question& question, const WaterPhase& phase, BufferPair& pair) {
  const Formula buffered = with_buffer(question.formula, pair, question.tables);
  const Prediction prediction = predict(phase, 0);
  pair.buffer_capacity = prediction.buffer_capacity;
  pair.ionic_strength = prediction.ionic_strength;
  pair.added_ionic_strength = prediction.ionic_strength - question.ionic_strength;
  pair.electrolyte = electrolyte_of(buffered, prediction, question.tables);
  pair.thinning = thinning_of(pair.electrolyte);
  add_cautions(question, buffered, pair);
  add_limits(question, buffered, pair);
  add_ranges(question, buffered, pair);
}

/// Nothing is weighed of what cannot be.
BufferPair refused(BufferPair pair, std::string why_not) {
  BufferPair bare;
  bare.system = pair.system, bare.made_in_place = pair.made_in_place, bare.from_water = pair.from_water;
  bare.acid.ingredient = pair.acid.ingredient, bare.acid.name = pair.acid.name;
  bare.base.ingredient = pair.base.ingredient, bare.base.name = pair.base.name;
  bare.cautions = std::move(pair.cautions);
  bare.why_not = std::move(why_not);
  return bare;
}

/// A salt beside its acid before lye; last what has to bring the formula to the pH alone, which takes more.
int burden_of(const BufferPair& pair) {
  const bool alone = pair.acid.percent == 0 || pair.base.percent == 0;
  return alone ? 2 : pair.made_in_place ? 1 : 0;
}

BufferPair answered(BufferPair pair, const Question& question) {
  const Partner acid(pair.acid.ingredient, question), base(pair.base.ingredient, question);
  if (auto why_not = cannot_buffer(question, acid, base, pair); !why_not.empty())
    return refused(std::move(pair), std::move(why_not));
  Fit fit(question, acid, base, pair);
  const auto phase = fit.found();
  if (!phase || pair.percent_dry > most_buffer_percent)
    return refused(std::move(pair), fmt::format("more than {:g} % of it would be needed", most_buffer_percent));
  if (!fit.holds())
    return refused(std::move(pair), "so much of it would take the place of the water that the sum does not hold");
  add_consequences(question, *phase, pair);
  if (!pair.why_not.empty()) return refused(std::move(pair), pair.why_not);
  pair.made_in_place = pair.made_in_place && burden_of(pair) < 2;
  pair.possible = true;
  return pair;
}

// ---- all pairs

std::set<std::string, std::less<>> systems_of(const Tables& tables) {
  std::set<std::string, std::less<>> systems;
  for (const auto& ingredient : tables.ingredients())
    for (const auto name : tables.classes_of(ingredient.id))
      if (name.starts_with(acid_class)) systems.emplace(name.substr(acid_class.size()));
  return systems;
}

BufferPair candidate(std::string_view system, std::string_view acid, std::string_view base, const Question& question) {
  const Tables& tables = question.tables;
  BufferPair pair;
  pair.system = system;
  pair.acid.ingredient = acid, pair.acid.name = tables.display_name(acid);
  pair.base.ingredient = base, pair.base.name = tables.display_name(base);
  pair.made_in_place = tables.covers("hydroxide", base) || tables.covers("strong-acid", acid);
  pair.from_water = question.from_water();
  return pair;
}

Question asked(const Formula& formula, const WaterPhase& phase, const BufferAim& aim, const Tables& tables,
               const Judging& judging) {
  Question question{formula, phase, aim, tables, judging, loaded(phase.mixture, ph_of(phase), phase, aim),
                    0, 0, {}, {}, {}};
  const FormulaItem* water = largest_water_line(formula);
  question.water_line = water ? water->percent : 0;
  return question;
}

/// What is known of the formula without a buffer.
void judge_as_it_is(Question& question) {
  question.ionic_strength = predict(question.phase, 0).ionic_strength;
  question.cautions = cautions_of(question.formula, question.aim.ph, question.aim.ph, question.tables);
  question.cautions_as_it_is =
      cautions_of(question.formula, question.as_it_is.ph, question.as_it_is.ph, question.tables);
  for (const auto& range : working_ranges(question.formula, question.tables, question.judging))
    if (range.hard) {
      const Interval both[] = {question.window, range.interval()};
      question.window = intersection(both);
    }
}

/// Less is better; differences of thinning that nobody sees do not count.
auto rank_of(const BufferPair& pair) {
  return std::tuple(!pair.possible, pair.clashes, std::round(20 * pair.thinning), pair.percent_dry);
}

/// Every pair of materials of one system, salts before lye.
std::vector<BufferPair> candidates_of(std::string_view system, const Question& question) {
  std::vector<BufferPair> candidates;
  for (const auto acid : question.tables.members_of(std::string(acid_class).append(system)))
    for (const auto base : question.tables.members_of(std::string(base_class).append(system)))
      candidates.push_back(candidate(system, acid, base, question));
  std::ranges::stable_sort(candidates, {}, &BufferPair::made_in_place);
  return candidates;
}

/// The best of one system; where the salt has nothing against it, lye is not asked.
std::optional<BufferPair> best_of(std::string_view system, const Question& question) {
  const auto rank = [](const BufferPair& pair) {
    return std::tuple(!pair.possible, pair.clashes, std::round(20 * pair.thinning), burden_of(pair), pair.percent_dry);
  };
  const auto is_fine = [](const BufferPair& pair) {
    return pair.possible && pair.clashes == 0 && pair.thinning == 0 && burden_of(pair) < 2;
  };
  std::optional<BufferPair> best;
  for (auto& candidate : candidates_of(system, question)) {
    if (best && candidate.made_in_place && is_fine(*best)) break;
    BufferPair pair = answered(std::move(candidate), question);
    if (!best || rank(pair) < rank(*best)) best = std::move(pair);
  }
  return best;
}

std::vector<BufferPair> ranked_pairs(const Question& question) {
  std::vector<BufferPair> pairs;
  for (const auto& system : systems_of(question.tables))
    if (auto pair = best_of(system, question)) pairs.push_back(std::move(*pair));
  std::ranges::stable_sort(pairs, {}, rank_of);
  return pairs;
}

}  // namespace

double LoadedPH::shift_from(double wanted) const {
  double worst = 0;
  for (const auto& after : {after_acid, after_base})
    if (after) worst = std::max(worst, std::abs(*after - wanted));
  return worst;
}

Formula with_buffer(const Formula& formula, const BufferPair& pair, const Tables& tables) {
  Formula buffered = formula;
  const auto add = [&](const BufferPartner& partner, double percent) {
    if (!(percent > 0)) return;
    buffered = with_adjuster(buffered, {partner.ingredient, 100}, percent, pair.from_water, tables);
    buffered.items.back().note = "buffer";
  };
  // on top, the second line thins the first
  add(pair.acid, pair.from_water ? pair.acid.percent : pair.acid.percent / (1 - pair.base.percent / 100));
  add(pair.base, pair.base.percent);
  return buffered;
}

Buffers buffers_for(const Formula& formula, const WaterPhase& phase, const BufferAim& aim, const Tables& tables,
                    const Judging& judging) {
  check(aim);
  Question question = asked(formula, phase, aim, tables, judging);
  const auto holds = [&](const LoadedPH& ph) { return ph.shift_from(aim.ph) <= aim.most_shift; };
  Buffers result{question.as_it_is, loaded_once_there(phase, question.as_it_is.ph, aim), false, false, {}};
  result.holds_already = std::abs(result.as_it_is.ph - aim.ph) <= same_ph && holds(result.as_it_is);
  result.holds_once_there = result.holds_already || (result.once_there && holds(*result.once_there));
  if (result.holds_once_there) return result;
  judge_as_it_is(question);
  result.pairs = ranked_pairs(question);
  return result;
}

}  // namespace counterion
