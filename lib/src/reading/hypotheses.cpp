// SPDX-License-Identifier: MIT
#include <counterion/reading/hypotheses.hpp>

#include "suspects.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace counterion {
namespace {

using Line = Variation::Line;

Variation of_line(std::size_t item, double factor, double spread = 0) {
  Variation one;
  one.lines = {Line{item, factor, spread, {}}};
  return one;
}

Variation of_portions(double factor, double spread) {
  Variation one;
  one.portions = factor;
  one.portions_spread = spread;
  return one;
}

/// The same for several sizes.
template <class Make>
std::vector<Variation> each_of(std::initializer_list<double> sizes, const Make& make) {
  std::vector<Variation> all;
  for (const double size : sizes) all.push_back(make(size));
  return all;
}

Variation in_words(Variation one, std::string what) {
  one.what = std::move(what);
  return one;
}

/// Goes through the mishaps and says what each would change. Sizes are assumptions.
class Imagination {
 public:
  Imagination(const Formula& formula, std::span<const BatchReading> readings, const Tables& tables,
              const Circumstances& circumstances)
      : readings_(readings),
        circumstances_(circumstances),
        tables_(tables),
        suspects_(formula, tables) {}

  std::vector<Hypothesis> all() {
    for (const auto& row : tables_.mishaps()) {
      const std::size_t first = found_.size();
      imagine(row);
      share_out(row, first);
    }
    join_all();
    double sum = 0;
    for (const auto& one : found_) sum += one.prior;
    for (auto& one : found_) one.prior /= sum;
    std::ranges::stable_partition(found_, [](const Hypothesis& h) { return h.kind == "none"; });
    return std::move(found_);
  }

 private:
  void imagine(const tables::Mishap& row) {
    row_ = &row;
    for (const auto& [kind, imagined] : kinds())
      if (kind == row.kind) (this->*imagined)();
  }
  void share_out(const tables::Mishap& row, std::size_t first) {
    double shares = 0;
    for (std::size_t i = first; i < found_.size(); ++i) shares += found_[i].prior;
    for (std::size_t i = first; i < found_.size(); ++i)
      found_[i].prior *= row.prior_weight / shares;
  }
  using Imagined = void (Imagination::*)();
  static std::span<const std::pair<std::string_view, Imagined>> kinds();

  void add(std::vector<std::size_t> items, std::string what, std::vector<Variation> variations) {
    for (auto& one : variations) one.weight = 1.0 / static_cast<double>(variations.size());
    found_.push_back({std::string(row_->id), std::string(row_->kind), std::move(items),
                      std::move(what), 1, std::move(variations)});
  }
  /// Mishaps that read alike and are told by one check are one cause: theirs is the sum of the
  /// priors.
  void join(std::string_view kind, std::vector<Variation> sizes) {
    joined_.push_back({kind, row_->prior_weight, std::move(sizes)});
  }
  struct Joined {
    std::string_view kind;
    double prior = 0;
    std::vector<Variation> sizes;
  };
  void join_all() {
    for (auto& more : joined_)
      for (auto& one : found_) {
        if (one.kind != more.kind) continue;
        const double share = more.sizes.empty() ? 0 : more.prior / (one.prior + more.prior);
        for (auto& size : more.sizes) size.weight = 1.0 / static_cast<double>(more.sizes.size());
        for (auto& variation : one.variations) variation.weight *= 1 - share;
        for (auto& variation : more.sizes) {
          variation.weight *= share;
          one.variations.push_back(std::move(variation));
        }
        one.prior += more.prior;
      }
  }
  std::string name(std::size_t item) const { return suspects_.name(item); }
  bool has_portions() const {
    return std::ranges::any_of(readings_, [](const BatchReading& r) { return !r.added.empty(); });
  }

  void nothing() { add({}, "nothing went wrong", {Variation{}}); }

  // ---- what was weighed ----

  void left_out() {
    for (const std::size_t i : suspects_.lines())
      add({i}, fmt::format("{} left out", name(i)), {of_line(i, 0)});
  }
  void doubled() {
    for (const std::size_t i : suspects_.lines())
      add({i}, fmt::format("{} weighed twice", name(i)), {of_line(i, 2)});
  }
  void decimal_place() {
    constexpr double most_percent = 60;
    for (const std::size_t i : suspects_.lines()) {
      std::vector<Variation> both{
          in_words(of_line(i, 0.1), fmt::format("a tenth of the {}", name(i)))};
      if (suspects_.percent(i) * 10 <= most_percent)
        both.push_back(in_words(of_line(i, 10), fmt::format("ten times too much {}", name(i))));
      add({i}, fmt::format("the decimal point of {}", name(i)), std::move(both));
    }
  }
  void swapped() {
    const auto& lines = suspects_.lines();
    for (std::size_t a = 0; a < lines.size(); ++a)
      for (std::size_t b = a + 1; b < lines.size(); ++b) swap(lines[a], lines[b]);
  }
  void swap(std::size_t a, std::size_t b) {
    const double ratio = suspects_.percent(a) / suspects_.percent(b);
    constexpr double alike = 1.1, unmistakable = 30;
    const double times = std::max(ratio, 1 / ratio);
    if (times < alike || times > unmistakable) return;
    Variation one;
    one.lines = {Line{a, 1 / ratio, 0, {}}, Line{b, ratio, 0, {}}};
    add({a, b}, fmt::format("the weights of {} and {} swapped", name(a), name(b)), {one});
  }
  void supplied_or_active() {
    for (const std::size_t i : suspects_.lines()) {
      const double strength = suspects_.strength(i);
      constexpr double noticeable = 0.93, least = 0.02, most_percent = 60;
      if (strength > noticeable || strength < least) continue;
      std::vector<Variation> both{
          in_words(of_line(i, strength),
                   fmt::format("{} weighed as if it were all active matter", name(i)))};
      if (suspects_.percent(i) / strength < most_percent)
        both.push_back(
            in_words(of_line(i, 1 / strength),
                     fmt::format("{} weighed for its strength once too often", name(i))));
      add({i}, fmt::format("the strength of {} mistaken", name(i)), std::move(both));
    }
  }
  void coarse_scale() {
    for (const std::size_t i : suspects_.lines()) {
      constexpr double coarse = 10, noticed = 30;  // times the scale's step
      const double steps = suspects_.grams(i) / (coarse * circumstances_.bench.scale_g);
      if (steps > noticed) continue;
      const double off = std::clamp(1 / std::max(steps, 1.0), 0.05, 0.5);
      add({i}, fmt::format("{} weighed on a scale too coarse for it", name(i)),
          {of_line(i, 1, off)});
    }
  }
  void powder_lost() {
    for (const std::size_t i : suspects_.powders())
      add({i}, fmt::format("a part of the {} lost on the way into the vessel", name(i)),
          each_of({0.55, 0.7, 0.85}, [&](double left) { return of_line(i, left, 0.06); }));
  }
  void volatile_lost() {
    for (const std::size_t i : suspects_.volatiles())
      add({i}, fmt::format("{} boiled off", name(i)),
          each_of({0.3, 0.5, 0.7, 0.9}, [&](double left) { return of_line(i, left, 0.07); }));
  }

  // ---- what was taken ----

  void taken_instead(Confusion confusion) {
    for (const std::size_t i : suspects_.lines()) {
      std::vector<Variation> each;
      for (const auto& other : suspects_.others(i, confusion)) {
        Variation one;
        one.lines = {Line{i, 1, 0, other}};
        each.push_back(in_words(std::move(one), fmt::format("{} taken in place of {}",
                                                            tables_.display_name(other), name(i))));
      }
      if (!each.empty())
        add({i}, fmt::format("another form of {} taken", name(i)), std::move(each));
    }
  }
  void salt_for_acid() { taken_instead(Confusion::salt_or_acid); }
  void wrong_hydrate() { taken_instead(Confusion::hydrate); }
  void wrong_grade() { taken_instead(Confusion::grade); }
  void out_of_range() {
    for (const auto& [item, half] : suspects_.residues(circumstances_.conditions)) {
      Variation one;
      constexpr double beyond = 2.5;  // 90 % half widths of what was declared, a standard deviation
      one.loose_charge_mol_per_kg = beyond * half;
      add({item}, fmt::format("{} more acid or alkaline than declared", name(item)), {one});
    }
  }

  // ---- what was weighed in to set the pH ----

  void stock_strength() {
    if (has_portions())
      add({}, "the stock stronger or weaker than it is called",
          each_of({0.1, 0.2, 0.4, 0.5, 0.6, 0.75, 1.25, 1.5, 2, 2.5, 5, 10},
                  [](double factor) { return of_portions(factor, 0.08 * factor); }));
  }
  void portion_twice() {
    if (!has_portions()) return;
    Variation twice = of_portions(2, 0);
    twice.last_portion_only = true;
    add({}, "the last addition made twice", {twice});
  }
  void stock_aged() {
    if (has_portions()) join("adjuster-stock-strength", {of_portions(0.8, 0.12)});
  }
  void not_mixed() {
    if (!has_portions()) return;
    auto sizes = each_of({0, 0.2, 0.4, 0.6, 0.8, 1.3},
                         [](double part) { return of_portions(part, part > 1 ? 0.15 : 0.06); });
    for (auto& one : sizes) one.last_portion_only = true;
    add({}, "the last addition not mixed in yet", std::move(sizes));
  }
  void read_too_early() {
    if (has_portions()) join("not-mixed", {});
  }
  // ---- what else is in the vessel ----

  void water_lost() {
    add({}, "water lost on heating", each_of({0.97, 0.94, 0.9, 0.85, 0.8}, [](double left) {
          Variation one;
          one.water_left = left;
          return one;
        }));
  }
  void polymer_not_hydrated() {
    for (const std::size_t i : suspects_.polymers())
      add({i}, fmt::format("{} not swollen yet", name(i)),
          each_of({0.1, 0.3, 0.5, 0.7, 0.85}, [&](double part) { return of_line(i, part, 0.06); }));
  }
  void carbon_dioxide() {
    add({}, "carbon dioxide from the air in the batch",
        each_of({3e-5, 1e-4, 3e-4, 1e-3}, [](double carbonate) {
          Variation one;
          one.carbonate_mol_per_kg = carbonate;
          return one;
        }));
  }
  void hard_water() {
    add({}, "hard tap water used", each_of({1.5e-3, 3e-3, 4.5e-3, 6e-3}, [](double bicarbonate) {
          Variation one;
          one.carbonate_mol_per_kg = one.alkali_mol_per_kg = bicarbonate;
          one.loose_charge_mol_per_kg = 4e-4;
          return one;
        }));
  }
  void dirty_vessel() {
    Variation one;
    one.loose_charge_mol_per_kg = 2e-3;
    add({}, "rests of acid, alkali or detergent in the vessel", {one});
  }
  void contamination() {
    if (!is_older_than(2)) return;
    Variation one;
    one.loose_charge_mol_per_kg = 5e-3;
    add({}, "microbes at work", {one});
  }
  bool is_older_than(double days) const {
    return std::ranges::any_of(
        readings_, [&](const BatchReading& r) { return r.age_days.value_or(0) > days; });
  }
  void change_since_mixing() {
    if (!suspects_.changes()) return;
    const auto at_age = [](double days) {
      Variation one;
      one.age_days = days;
      return one;
    };
    add({}, "a slow reaction that is not where it was taken to be",
        each_of({0, 0.02, 0.05, 0.15, 1, 7, 29}, at_age));
  }

  // ---- how it was read ----

  Variation off_by(double bias, double noise = 0) const {
    Variation one;
    one.bias_ph = bias, one.noise_ph = noise;
    return one;
  }
  void meter_not_calibrated() {
    if (!circumstances_.strip && !circumstances_.buffers_read)
      add({}, "the meter off: not calibrated, a spoilt buffer, or the electrode dirty or dry",
          {off_by(0.35)});
  }
  void bad_buffer() {
    if (!circumstances_.strip) join("meter-not-calibrated", {off_by(0.15)});
  }
  void electrode() {
    if (circumstances_.strip) return;
    if (circumstances_.buffers_read)
      add({}, "the electrode slow: dirty or dry", {off_by(0.1, 0.15)});
    else
      join("meter-not-calibrated", {off_by(0.3, 0.15)});
  }
  void strip_step() {
    if (!circumstances_.meter && circumstances_.bench.meter_ph >= 0.25)
      add({}, "the colours of the strip read one step off", {off_by(0.1, 0.5)});
  }
  void oily_electrode() {
    if (suspects_.oil_and_alcohol_percent() > 15)
      add({}, "oil or alcohol on the electrode", {off_by(0.2, 0.35)});
  }
  void separated() {
    if (suspects_.oil_and_alcohol_percent() > 3) add({}, "the product separated", {off_by(0, 0.3)});
  }
  void samples_mixed_up() {
    Variation one;
    one.any_batch = true;
    add({}, "the sample of another batch read", {one});
  }
  void warm_sample() {
    add({}, "read warm without compensation", each_of({35, 45, 55, 65}, [](double celsius) {
          Variation one;
          one.celsius = celsius;
          return one;
        }));
  }
  void sample_diluted() {
    const bool said =
        std::ranges::any_of(readings_, [](const BatchReading& r) { return r.dilution.diluted(); });
    if (said) return;
    add({}, "a dilution read", each_of({2, 5, 10, 20}, [](double times) {
          Variation one;
          one.dilution = Dilution{1, times - 1, 1.4e-5};
          return one;
        }));
  }

  std::span<const BatchReading> readings_;
  const Circumstances& circumstances_;
  const Tables& tables_;
  Suspects suspects_;
  const tables::Mishap* row_ = nullptr;
  std::vector<Hypothesis> found_;
  std::vector<Joined> joined_;
};

std::span<const std::pair<std::string_view, Imagination::Imagined>> Imagination::kinds() {
  static constexpr std::pair<std::string_view, Imagined> all[] = {
      {"adjuster-added-twice", &Imagination::portion_twice},
      {"adjuster-aged", &Imagination::stock_aged},
      {"adjuster-stock-strength", &Imagination::stock_strength},
      {"bad-calibration-buffer", &Imagination::bad_buffer},
      {"carbon-dioxide", &Imagination::carbon_dioxide},
      {"change-since-mixing", &Imagination::change_since_mixing},
      {"coarse-scale", &Imagination::coarse_scale},
      {"contamination", &Imagination::contamination},
      {"decimal-place-slip", &Imagination::decimal_place},
      {"dirty-vessel", &Imagination::dirty_vessel},
      {"electrode-dirty-or-dry", &Imagination::electrode},
      {"hard-tap-water", &Imagination::hard_water},
      {"ingredient-doubled", &Imagination::doubled},
      {"ingredient-left-out", &Imagination::left_out},
      {"ingredients-swapped", &Imagination::swapped},
      {"meter-not-calibrated", &Imagination::meter_not_calibrated},
      {"none", &Imagination::nothing},
      {"not-mixed", &Imagination::not_mixed},
      {"oil-or-alcohol-on-electrode", &Imagination::oily_electrode},
      {"polymer-not-hydrated", &Imagination::polymer_not_hydrated},
      {"powder-lost", &Imagination::powder_lost},
      {"raw-material-out-of-range", &Imagination::out_of_range},
      {"read-too-early", &Imagination::read_too_early},
      {"salt-instead-of-acid", &Imagination::salt_for_acid},
      {"sample-diluted", &Imagination::sample_diluted},
      {"samples-mixed-up", &Imagination::samples_mixed_up},
      {"separated-product", &Imagination::separated},
      {"strip-colour-step", &Imagination::strip_step},
      {"supplied-or-active-slip", &Imagination::supplied_or_active},
      {"temperature-not-compensated", &Imagination::warm_sample},
      {"volatile-lost", &Imagination::volatile_lost},
      {"water-loss-on-heating", &Imagination::water_lost},
      {"wrong-grade-or-pack", &Imagination::wrong_grade},
      {"wrong-hydrate", &Imagination::wrong_hydrate},
  };
  return all;
}

}  // namespace

std::vector<Hypothesis> hypotheses_for(const Formula& formula,
                                       std::span<const BatchReading> readings, const Tables& tables,
                                       const Circumstances& circumstances) {
  return Imagination(formula, readings, tables, circumstances).all();
}

}  // namespace counterion
