// SPDX-License-Identifier: MIT
// Virtual batches with which something went wrong, and what the explanation says of it. The truth
// is another one than the library's: see virtual_batch.hpp. Formulas and batches are invented.
//
//     mishaps [MISHAPS [NOTICED]]
//
// Drawn: a formula, a planned addition of acid or lye, a mishap by its prior among those that move
// the true reading by more than NOTICED (0.5: half a unit is what makes somebody ask; the first
// runs had 0.1), its size (continuous where it is), the truth, the bench.
//
// Fixed before the first run: a mishap is *identifiable* where
// (1) it moves the true reading by more than twice the reading's standard deviation, that of 40
//     virtual batches of this formula with which nothing went wrong; and
// (2) no other hypothesis reproduces the reading within one such standard deviation in the same
//     virtual batch at equal or higher prior; the prior of one that comes in sizes counts with the
//     share of its sizes that do so, its own as well.
// The explanation's own probabilities play no part in it.
#include "../answers/samples.hpp"
#include "../virtual_batch.hpp"

#include <counterion/reading/explain.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

using namespace counterion;
using namespace virtual_batch;

namespace {

const Tables& built_in = Tables::built_in();

/// Invented formulas beside the samples.
Formula formula_named(const std::string& name) {
  static const std::map<std::string, std::string> invented{
      {"lactate-toner",
       "lactic-acid-80 1.5; sodium-lactate-60 2.5; glycerin 3; panthenol 1; "
       "niacinamide 2; sodium-benzoate 0.4"},
      {"citrate-lotion",
       "citric-acid 0.35; trisodium-citrate-dihydrate 0.6; glycerin 4; "
       "caprylic-capric-triglyceride 8; cetearyl-alcohol 3; glyceryl-stearate 2; "
       "polyglyceryl-3-methylglucose-distearate 3; potassium-sorbate 0.3; xanthan-gum 0.3"},
      {"carbomer-gel",
       "carbomer 0.4; sodium-hydroxide-10 1.2; propanediol 5; allantoin 0.2; "
       "phenoxyethanol-ethylhexylglycerin-90-10 1"},
      {"shampoo",
       "sodium-laureth-sulfate-27 35; cocamidopropyl-betaine-30 8; citric-acid 0.3; "
       "sodium-benzoate 0.5; sodium-chloride 1; panthenol-75 0.5"},
      {"phosphate-serum",
       "sodium-ascorbyl-phosphate 2; sodium-dihydrogen-phosphate-dihydrate 0.6; "
       "disodium-phosphate-dodecahydrate 0.8; propanediol 4; hydroxyethylcellulose 0.6; "
       "phenoxyethanol-ethylhexylglycerin-90-10 1"},
      {"glycolic-gel",
       "glycolic-acid-70 7; sodium-hydroxide 1.1; hydroxyethylcellulose 1; "
       "glycerin 3; phenoxyethanol-ethylhexylglycerin-90-10 1"},
  };
  const auto found = invented.find(name);
  if (found == invented.end()) return samples::sample(name);
  Formula formula = samples::formula_of(samples::items_of(found->second));
  formula.batch_g = 500;
  return formula;
}
const std::vector<std::string> names{
    "brightening-serum", "carbomer-gel", "citrate-lotion", "glycolic-gel",    "hand-gel",
    "hand-wash",         "heel-cream",   "lactate-toner",  "phosphate-serum", "shampoo"};

/// The product in more water, said by hand: so many times the water.
Formula thinned(const Formula& formula, double times) {
  Formula slurry = formula;
  FormulaItem water;
  water.written = water.ingredient = "water";
  water.percent = 100 * (times - 1);
  slurry.items.push_back(water);
  for (auto& item : slurry.items) item.percent /= times;
  slurry.batch_g *= times;
  return slurry;
}

/// What one meter, one strip or one vessel is off by.
struct Luck {
  double bias = 0, noise = 0, charge = 0;  ///< standard normal
  double any_ph = 6;
};

/// One batch with its planned addition.
struct World {
  Formula formula;
  std::vector<Portion> added;
  Truth truth;

  /// The true reading with something gone wrong.
  double read(const Variation& v, const Luck& luck) const {
    if (v.any_batch) return luck.any_ph;
    Truth other = truth;
    Formula made = varied(formula, v);
    std::vector<Portion> portions = added;
    for (auto& portion : portions) portion.grams *= v.portions;
    other.add_carbonate(v.carbonate_mol_per_kg);
    other.add_charge(v.alkali_mol_per_kg + v.loose_charge_mol_per_kg * luck.charge);
    if (v.celsius) other.read_at(*v.celsius);
    if (v.dilution) {
      made = with_portions(made, portions, built_in);
      const double times = (v.dilution->product_g + v.dilution->water_g) / v.dilution->product_g;
      const double water = water_phase_of(made, built_in)->water_percent;
      other.thin(water / (water + 100 * (times - 1)));
      made = thinned(made, times);
      portions.clear();
    }
    other.weigh(made);
    double ph = other.ph(portions);
    if (v.celsius) ph = 7 + (ph - 7) * (*v.celsius + 273.15) / 298.15;
    return ph + v.bias_ph * luck.bias + v.noise_ph * luck.noise;
  }
};

std::vector<Portion> planned(const Formula& formula, Random& random) {
  const auto phase = water_phase_of(formula, built_in, {}, Sureness::left_aside);
  const double ph = ph_of(*phase);
  const bool acid = ph > 6 || (ph > 4.5 && random() % 2 == 0);
  const Adjuster adjuster{acid ? "citric-acid" : "sodium-hydroxide", acid ? 20.0 : 10.0};
  double grams = 1e-3 * formula.batch_g;
  for (int pass = 0; pass < 8; ++pass, grams *= 1.7) {
    const Portion portion{adjuster, grams};
    const auto with = water_phase_of(with_portions(formula, {&portion, 1}, built_in), built_in, {},
                                     Sureness::left_aside);
    if (std::abs(ph_of(*with) - ph) > 0.5) break;
  }
  return {{adjuster, grams}};
}

bool same_cause(const Hypothesis& a, const Hypothesis& b) {
  return a.mishap == b.mishap && a.items == b.items;
}

/// Probability that a normal deviate of this size lies within ± half of `wanted`.
double normal_share(double wanted, double half, double deviation) {
  const auto below = [&](double x) { return 0.5 * std::erfc(-x / (deviation * std::sqrt(2.0))); };
  return deviation > 0 ? below(wanted + half) - below(wanted - half)
                       : (std::abs(wanted) <= half ? 1.0 : 0.0);
}

/// Prior with which a hypothesis reads within `sd` of a reading.
double prior_to_read(const World& world, const Hypothesis& h, double reading, double sd) {
  double share = 0;
  for (const auto& v : h.variations) {
    if (v.any_batch) {
      share += v.weight * normal_share(reading - 6, sd, 1.4);
      continue;
    }
    const double ph = world.read(v, {});
    double spread = std::hypot(v.bias_ph, v.noise_ph);
    if (v.loose_charge_mol_per_kg > 0)
      spread = std::abs(world.read(v, {0, 0, reading < ph ? -1.0 : 1.0, 6}) - ph);
    share += v.weight * normal_share(reading - ph, sd, spread);
  }
  return h.prior * share;
}

struct Trial {
  std::string formula;
  Hypothesis truth;
  double shift = 0, sd = 0;
  bool large_enough = false;  ///< (1)
  bool identifiable = false;  ///< (1) and (2)
  double first = 0;           ///< probability of the cause named first
  std::string said{};         ///< that cause
  std::size_t rank = 999, rank_after = 999;
};

struct Reliability {
  std::array<double, 10> said{}, came{}, count{};
  void add(double probability, bool true_cause) {
    const auto bin = static_cast<std::size_t>(std::min(9.0, 10 * probability));
    said[bin] += probability, came[bin] += true_cause, count[bin] += 1;
  }
};

std::size_t rank_of(const Hypothesis& truth, const Explained& explained) {
  for (std::size_t c = 0; c < explained.causes.size(); ++c)
    if (same_cause(explained.causes[c].hypothesis, truth)) return c;
  return 999;
}

/// What a maker finds who makes the check: now and then what there is is overlooked, now and then
/// something is seen that is not there.
Finding found_by(const AdvisedCheck& check, const Hypothesis& truth, const Variation& happened,
                 const std::vector<Hypothesis>& hypotheses, const Formula& formula,
                 Random& random) {
  const auto check_of = [](const Hypothesis& h) {
    return std::ranges::find(built_in.mishaps(), h.mishap, &tables::Mishap::id)->check;
  };
  const auto item_of = [](const Hypothesis& h) {
    return h.items.empty() ? std::nullopt : std::optional(h.items.front());
  };
  if (check.check == "weigh-batch") {
    double grams = formula.batch_g;
    for (const auto& line : happened.lines)
      grams += (line.factor - 1) * formula.items[line.item].percent / 100 * formula.batch_g;
    for (const auto& item : formula.items)
      if (item.ingredient == "water")
        grams -= (1 - happened.water_left) * item.percent / 100 * formula.batch_g;
    return {check.check, {}, {}, grams * (1 + 0.004 * normal(random))};
  }
  const bool shows = truth.kind != "none" && check_of(truth) == check.check;
  if (shows && uniform(random, 0, 1) > 0.1) return {check.check, truth.kind, item_of(truth), {}};
  if (!shows && uniform(random, 0, 1) < 0.05)
    for (const auto& other : hypotheses)
      if (other.kind != "none" && check_of(other) == check.check)
        return {check.check, other.kind, item_of(other), {}};
  return {check.check, {}, {}, {}};
}

/// A size between those that are listed, where a mishap comes in sizes.
Variation drawn_size(const Hypothesis& h, Random& random) {
  double left = uniform(random, 0, 1);
  std::size_t at = 0;
  while (at + 1 < h.variations.size() && left > h.variations[at].weight)
    left -= h.variations[at++].weight;
  Variation one = h.variations[at];
  if (h.variations.size() < 3) return one;
  const double by = std::exp(uniform(random, -0.15, 0.15));
  for (auto& line : one.lines) line.factor *= by;
  if (one.portions != 1 && one.portions != 2 && one.portions != 10) one.portions *= by;
  one.carbonate_mol_per_kg *= by, one.alkali_mol_per_kg *= by;
  one.water_left = std::pow(one.water_left, by);
  if (one.celsius) *one.celsius += uniform(random, -5, 5);
  return one;
}

struct Record {
  std::vector<Trial> trials;
  Reliability reliability;
  int nothing = 0, nothing_leads = 0;
};

class Simulation {
 public:
  explicit Simulation(double noticed) : noticed_(noticed) {}
  World world_of(const std::string& name, std::uint64_t seed) {
    Random random(seed);
    Formula formula = formula_named(name);
    auto added = planned(formula, random);
    Truth truth(formula, seed, false);
    truth.ph(added);  // draws what is not sure
    return {formula, added, truth};
  }
  /// Of readings of batches with which nothing went wrong.
  double sd_of(const std::string& name) {
    if (const auto known = sds_.find(name); known != sds_.end()) return known->second;
    constexpr int batches = 40;
    double sum = 0, squares = 0;
    for (int i = 0; i < batches; ++i) {
      const auto seed = 900000 + 31 * static_cast<std::uint64_t>(i);
      Random random(1);
      World world{formula_named(name), planned(formula_named(name), random),
                  Truth(formula_named(name), seed, false)};
      const double ph = MakersBench(seed).read(world.read({}, {}));
      sum += ph, squares += ph * ph;
    }
    const double sd = std::sqrt(squares / batches - std::pow(sum / batches, 2));
    return sds_[name] = sd;
  }
  Circumstances circumstances() const {
    Circumstances c;
    c.bench = {meter_bias, scale_g, false};
    c.meter = true;
    return c;
  }
  void run_nothing(const std::string& name, std::uint64_t seed, Record& all) {
    const World world = world_of(name, seed);
    const std::vector<BatchReading> readings{
        {MakersBench(seed).read(world.read({}, {})), world.added}};
    const auto explained = explain_readings(world.formula, readings, built_in, circumstances());
    ++all.nothing;
    all.nothing_leads += explained.causes.front().hypothesis.kind == "none";
    for (const auto& cause : explained.causes)
      all.reliability.add(cause.probability, cause.hypothesis.kind == "none");
  }
  void run_mishap(const std::string& name, std::uint64_t seed, Record& all) {
    World world = world_of(name, seed);
    Random random(seed + 7);
    std::vector<BatchReading> readings{{7.0, world.added}};
    const auto hypotheses = hypotheses_for(world.formula, readings, built_in, circumstances());
    const double planned_ph = world.read({}, {});
    for (int attempt = 0; attempt < 200; ++attempt) {
      const auto& truth = drawn(hypotheses, random);
      const Variation happened = drawn_size(truth, random);
      Luck luck{normal(random), normal(random), normal(random), 6 + 1.4 * normal(random)};
      const double ph = world.read(happened, luck);
      if (truth.kind == "none" || !(ph > 0.5 && ph < 13.5) || std::abs(ph - planned_ph) <= noticed_)
        continue;
      Trial trial{name, truth, ph - planned_ph, sd_of(name)};
      readings.front().ph = MakersBench(seed).read(ph);
      trial.large_enough = std::abs(trial.shift) > 2 * trial.sd;
      trial.identifiable =
          is_identifiable(world, hypotheses, truth, trial, planned_ph + trial.shift);
      judge(world, hypotheses, readings, happened, random, trial, all);
      all.trials.push_back(std::move(trial));
      return;
    }
  }

 private:
  static const Hypothesis& drawn(const std::vector<Hypothesis>& all, Random& random) {
    double left = uniform(random, 0, 1);
    for (const auto& one : all)
      if ((left -= one.prior) <= 0) return one;
    return all.back();
  }
  static bool is_identifiable(const World& world, const std::vector<Hypothesis>& hypotheses,
                              const Hypothesis& truth, const Trial& trial, double reading) {
    if (!trial.large_enough) return false;
    const double own = prior_to_read(world, truth, reading, trial.sd);
    return std::ranges::none_of(hypotheses, [&](const Hypothesis& other) {
      return !same_cause(other, truth) && other.prior >= own &&
             prior_to_read(world, other, reading, trial.sd) >= own;
    });
  }
  void judge(const World& world, const std::vector<Hypothesis>& hypotheses,
             const std::vector<BatchReading>& readings, const Variation& happened, Random& random,
             Trial& trial, Record& all) {
    const auto explained = explain_readings(world.formula, readings, built_in, circumstances());
    trial.rank = trial.rank_after = rank_of(trial.truth, explained);
    trial.first = explained.causes.front().probability;
    trial.said = explained.causes.front().hypothesis.what;
    if (!explained.checks.empty()) trial.said += " | " + explained.checks.front().check;
    for (const auto& cause : explained.causes)
      all.reliability.add(cause.probability, same_cause(cause.hypothesis, trial.truth));
    if (explained.checks.empty()) return;
    const std::vector<Finding> findings{found_by(explained.checks.front(), trial.truth, happened,
                                                 hypotheses, world.formula, random)};
    trial.rank_after = rank_of(trial.truth, explain_readings(world.formula, readings, built_in,
                                                             circumstances(), findings));
  }
  double noticed_;
  std::map<std::string, double> sds_;
};

double percent(double part, double whole) {
  return 100 * part / std::max(1.0, whole);
}

struct Tally {
  double all = 0, identifiable = 0, first = 0, three = 0, after = 0;
  void add(const Trial& trial) {
    all += 1;
    if (!trial.identifiable) return;
    identifiable += 1;
    first += trial.rank == 0, three += trial.rank < 3, after += trial.rank_after == 0;
  }
  std::string row(const std::string& name) const {
    return fmt::format("{:30} {:7.0f} {:12.0f} {:8.0f} {:8.0f} {:8.0f}", name, all, identifiable,
                       percent(first, identifiable), percent(after, identifiable),
                       percent(three, identifiable));
  }
};

Tally print(const Record& all) {
  std::map<std::string, Tally> kinds, formulas;
  Tally total;
  for (const auto& trial : all.trials) {
    total.add(trial);
    kinds[trial.truth.kind].add(trial);
    formulas[trial.formula].add(trial);
  }
  fmt::print("{:30} {:>7} {:>12} {:>8} {:>8} {:>8}\n", "", "mishaps", "identifiable", "first %",
             "after %", "three %");
  fmt::print("{}\n", total.row("all"));
  for (const auto& [name, tally] : formulas) fmt::print("{}\n", tally.row("  " + name));
  for (const auto& [name, tally] : kinds) fmt::print("{}\n", tally.row("  " + name));
  const auto small =
      static_cast<double>(std::ranges::count(all.trials, false, &Trial::large_enough));
  fmt::print("excluded: {:.0f} % of {:.0f}, {:.0f} % because they move the reading too little\n",
             percent(total.all - total.identifiable, total.all), total.all,
             percent(small, total.all));
  fmt::print("nothing went wrong: it leads in {:.0f} % of {}\n",
             percent(all.nothing_leads, all.nothing), all.nothing);
  fmt::print("probability said, and how often it was so:\n");
  for (std::size_t bin = 0; bin < 10; ++bin) {
    const auto& r = all.reliability;
    if (r.count[bin] > 0)
      fmt::print("  {:.1f} to {:.1f}: said {:5.1f} %, came {:5.1f} % of {:.0f}\n",
                 0.1 * static_cast<double>(bin), 0.1 * static_cast<double>(bin + 1),
                 percent(r.said[bin], r.count[bin]), percent(r.came[bin], r.count[bin]),
                 r.count[bin]);
  }
  return total;
}

}  // namespace

int main(int argc, char** argv) {
  const bool tell = std::getenv("COUNTERION_PRINT") != nullptr;
  const int mishaps = argc > 1 ? std::atoi(argv[1]) : 300;
  Record all;
  Simulation simulation(argc > 2 ? std::atof(argv[2]) : 0.5);
  for (int i = 0; i < mishaps; ++i) {
    const auto& name = names[static_cast<std::size_t>(i) % names.size()];
    const auto seed = 5000 + 13 * static_cast<std::uint64_t>(i);
    simulation.run_mishap(name, seed, all);
    simulation.run_nothing(name, seed + 100000, all);
  }
  if (tell)
    for (const auto& t : all.trials)
      fmt::print("{:18} {:+.2f} sd {:.2f} {} rank {} after {} first {:.2f} | {} | {}\n", t.formula,
                 t.shift, t.sd,
                 t.identifiable   ? "I"
                 : t.large_enough ? "2"
                                  : "1",
                 t.rank, t.rank_after, t.first, t.truth.what, t.said);
  const Tally total = print(all);
  const bool holds =
      total.first >= 0.45 * total.identifiable && total.after >= 0.65 * total.identifiable &&
      total.three >= 0.75 * total.identifiable && all.nothing_leads >= 0.85 * all.nothing;
  return holds ? 0 : 1;
}
