// SPDX-License-Identifier: MIT
#include "explanation_mends.hpp"

#include "remedy_changes.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace counterion {
namespace {

/// A batch is made larger by so much at most; beyond it is cheaper to begin anew (assumption).
constexpr double most_enlarged = 2.5;
/// More than this share of a batch is no longer an adjustment of it (assumption).
constexpr double most_dosed = 0.15;
/// Amounts that differ by less are the same to a maker, who goes on by the meter (assumption).
constexpr double about_the_same = 0.2;
/// Grams are given where causes that agree about them are as probable as this together.
constexpr double least_agreeing = 0.75;

/// What a kind of mishap asks for, where it is not its lines that decide.
enum class Way { by_lines, read, wait, away, anew, by_batch, by_reading };

Way way_of(std::string_view kind) {
  struct Kind {
    std::string_view kind;
    Way way;
  };
  static constexpr Kind kinds[] = {
      {"none", Way::by_reading},
      {"raw-material-out-of-range", Way::by_reading},
      {"coarse-scale", Way::by_reading},
      {"hard-tap-water", Way::by_reading},
      {"meter-not-calibrated", Way::read},
      {"bad-calibration-buffer", Way::read},
      {"electrode-dirty-or-dry", Way::read},
      {"strip-colour-step", Way::read},
      {"oil-or-alcohol-on-electrode", Way::read},
      {"separated-product", Way::read},
      {"samples-mixed-up", Way::read},
      {"temperature-not-compensated", Way::read},
      {"sample-diluted", Way::read},
      {"carbon-dioxide", Way::read},
      {"not-mixed", Way::wait},
      {"read-too-early", Way::wait},
      {"polymer-not-hydrated", Way::wait},
      {"change-since-mixing", Way::wait},
      {"contamination", Way::away},
      {"dirty-vessel", Way::anew},
      {"adjuster-added-twice", Way::by_batch},
      {"adjuster-stock-strength", Way::by_batch},
      {"adjuster-aged", Way::by_batch},
      {"salt-instead-of-acid", Way::by_batch},
      {"wrong-grade-or-pack", Way::by_batch},
      {"wrong-hydrate", Way::by_batch},
  };
  for (const auto& one : kinds)
    if (one.kind == kind) return one.way;
  return Way::by_lines;
}

std::vector<Portion> portions_of(std::span<const BatchReading> readings) {
  std::vector<Portion> all;
  for (const auto& reading : readings)
    all.insert(all.end(), reading.added.begin(), reading.added.end());
  return all;
}

double grams_of(const Formula& batch, std::size_t line) {
  return batch.items[line].percent / 100 * batch.batch_g;
}

/// A batch with more of some of its lines in it, all in percent of what is there then.
Formula with_more(Formula batch, const std::vector<double>& more_grams) {
  double sum = batch.batch_g;
  for (const double grams : more_grams) sum += grams;
  for (std::size_t i = 0; i < batch.items.size(); ++i)
    batch.items[i].percent = 100 * (grams_of(batch, i) + more_grams[i]) / sum;
  batch.batch_g = sum;
  return batch;
}

bool same_weighings(const Mend& a, const Mend& b) {
  if (a.action != b.action || a.weighings.size() != b.weighings.size()) return false;
  for (std::size_t i = 0; i < a.weighings.size(); ++i) {
    const auto &x = a.weighings[i], &y = b.weighings[i];
    if (x.ingredient != y.ingredient || x.stock_percent != y.stock_percent ||
        std::abs(x.grams - y.grams) > about_the_same * std::max(x.grams, y.grams))
      return false;
  }
  return true;
}

/// Works out what to do about causes, one after another.
class Mender {
 public:
  Mender(Explanation& explanation, std::span<const BatchReading> readings,
         const Calibration& learned)
      : explanation_(explanation),
        readings_(readings),
        learned_(learned),
        tables_(explanation.check.tables),
        intended_(with_portions(explanation.check.formula, portions_of(readings), tables_)),
        beside_(intended_, explanation.options, tables_) {}

  void mend() {
    const std::size_t leading = explanation_.leading();
    for (cause_ = 0; cause_ < leading; ++cause_) {
      batch_ = batch_of(cause().likely);
      explanation_.standings.push_back(beside_.standing_of(batch_, cause().likely));
      const std::size_t first = explanation_.mends.size();
      mend_cause();
      for (std::size_t m = first + 1; m < explanation_.mends.size(); ++m)
        explanation_.mends[m].first = false;
    }
    withhold();
  }

 private:
  const Cause& cause() const { return explanation_.explained.causes[cause_]; }
  Formula batch_of(const Variation& variation) const {
    const auto taken = varied(readings_, variation);
    Formula batch =
        with_portions(varied(explanation_.check.formula, variation), portions_of(taken), tables_);
    batch.batch_stated = true;
    return batch;
  }
  std::string name_of(const FormulaItem& item) const {
    return item.listed() ? tables_.display_name(item.ingredient) : item.written;
  }

  Mend& add(MendAction action, std::string why) {
    auto& mend = explanation_.mends.emplace_back();
    mend.cause = cause_, mend.action = action, mend.why = std::move(why);
    mend.after = explanation_.standings.back();
    return mend;
  }

  void mend_cause() {
    switch (way_of(cause().hypothesis.kind)) {
      case Way::read:
        add(MendAction::read_again, "The batch may be as it should be. " + cause().what_to_check);
        break;
      case Way::wait:
        add(MendAction::wait, "It may come right by itself. " + cause().what_to_check);
        break;
      case Way::away:
        add(MendAction::throw_away, "What grows in it cannot be taken out again.").after.ph.reset();
        break;
      case Way::anew:
        add(MendAction::remake, "Nobody knows what came along, and nothing takes it out.")
            .after.ph.reset();
        break;
      case Way::by_batch:
        dose_or_remake();
        break;
      case Way::by_reading:
        dose_by_reading();
        break;
      case Way::by_lines:
        mend_lines();
        break;
    }
  }

  // ---- what lines lack or have too much ----

  void mend_lines() {
    if (cause().likely.water_left < 1) return add_missing(MendAction::make_up_with_water);
    const auto& lines = cause().likely.lines;
    const bool too_much =
        std::ranges::any_of(lines, [](const auto& line) { return line.factor > 1; });
    if (!too_much) return add_missing(MendAction::weigh_in);
    const double size = enlarged();
    const bool dosed = lines.size() == 1 && dose();
    if (size <= most_enlarged) return enlarge(size);
    if (!dosed) remake("There is so much of it that the batch would have to grow too large.");
  }
  /// How large the batch would be with nothing too much in it, as a multiple.
  double enlarged() const {
    double most = 1;
    for (std::size_t i = 0; i < intended_.items.size(); ++i)
      if (intended_.items[i].percent > 0)
        most = std::max(most, grams_of(batch_, i) / grams_of(intended_, i));
    return most;
  }
  /// What is missing from each line for so large a batch.
  std::vector<double> missing(double size) const {
    std::vector<double> grams;
    for (std::size_t i = 0; i < intended_.items.size(); ++i)
      grams.push_back(std::max(0.0, size * grams_of(intended_, i) - grams_of(batch_, i)));
    return grams;
  }
  /// Grams of one line that bring it to its percent of the batch as it was weighed: with W there
  /// and m of it the line, (m + x)/(W + x) = p.
  void by_weight(std::vector<double>& grams) const {
    const auto& findings = explanation_.options.findings;
    const auto weighed = std::ranges::find_if(findings.rbegin(), findings.rend(),
                                              [](const Finding& f) { return f.grams.has_value(); });
    if (weighed == findings.rend() || cause().likely.lines.size() != 1) return;
    const std::size_t line = cause().likely.lines.front().item;
    const double p = intended_.items[line].percent / 100;
    grams[line] = std::max(0.0, (p * *weighed->grams - grams_of(batch_, line)) / (1 - p));
  }
  void add_missing(MendAction action) {
    auto grams = missing(1);
    if (action == MendAction::weigh_in) by_weight(grams);
    add_weighed(action, grams,
                action == MendAction::make_up_with_water
                    ? "Weigh the batch first and make it up to what it should weigh."
                    : "It brings every line back to its percent; mix it in well, then read again.");
  }
  void enlarge(double size) {
    add_weighed(
        MendAction::make_larger, missing(size),
        fmt::format(
            "With everything else in proportion the batch is {:.2g} times as large and as written.",
            size));
  }
  void add_weighed(MendAction action, const std::vector<double>& grams, std::string why) {
    const Formula after = with_more(batch_, grams);
    auto standing = beside_.mended(after);
    if (!beside_.passes(standing)) return remake("Weighing in what is missing would not mend it.");
    auto& mend = add(action, std::move(why));
    mend.after = std::move(standing);
    mend.batch_g = after.batch_g;
    constexpr double nothing = 1e-6;  // of the batch
    for (std::size_t i = 0; i < grams.size(); ++i)
      if (grams[i] > nothing * after.batch_g) add_weighing(mend, intended_.items[i], grams[i]);
  }
  /// Lines of one material are weighed as one.
  void add_weighing(Mend& mend, const FormulaItem& item, double grams) const {
    for (auto& other : mend.weighings)
      if (item.listed() && other.ingredient == item.ingredient) {
        other.grams += grams;
        return;
      }
    mend.weighings.push_back({item.ingredient, name_of(item), grams, 100});
  }

  void remake(std::string why) {
    add(MendAction::remake, std::move(why)).after = beside_.standing_of(intended_);
  }

  // ---- acid or alkali ----

  CheckOptions dosing(std::optional<double> target) const {
    CheckOptions options = explanation_.options;
    options.batch_g.reset(), options.knowledge = {};
    options.remedies = false;
    options.target = target ? std::optional(pH(*target)) : std::nullopt;
    return options;
  }
  /// What a wrong material or too much of one leaves is first of all a matter of what is in it.
  void dose_or_remake() {
    if (!beside_.passes(content_only())) return remake(what_is_wrong_with_it());
    if (!dose()) remake("No acid or alkali brings it back within what its ingredients allow.");
  }
  /// The batch as it stands, its pH left aside: preservation counts at the pH to which it would be
  /// brought.
  Standing content_only() const {
    auto standing = explanation_.standings.back();
    if (standing.preservation == PreservationChange::lost && !is_preservative_changed())
      standing.preservation = PreservationChange::weaker;
    std::erase_if(standing.new_cautions, [](const FiredCaution& caution) {
      return caution.minimum_ph || caution.maximum_ph;
    });
    return standing;
  }
  bool is_preservative_changed() const {
    return std::ranges::any_of(cause().hypothesis.items, [&](std::size_t i) {
      return remedy::is_preservative(intended_.items[i], tables_);
    });
  }
  std::string what_is_wrong_with_it() const {
    const auto& standing = explanation_.standings.back();
    if (standing.preservation == PreservationChange::lost)
      return "What keeps microbes down is not in it in its dose.";
    if (!standing.limits.empty())
      return "It holds more of something than the law or good practice allows.";
    return "It holds something that must not be in it: " +
           standing.new_cautions.front().what_happens;
  }
  /// Whether there is a way to bring the batch of this cause to its pH.
  bool dose() { return dose(check(batch_, tables_, dosing(beside_.aim())), {}); }
  bool dose(const CheckResult& checked, const BatchKnowledge& knowledge) {
    if (!checked.prediction) return false;
    if (!checked.adjustment_needed) {
      auto standing = beside_.mended(checked.formula, knowledge);
      if (!beside_.passes(standing)) return false;
      add(MendAction::accept, "Its pH is near enough to what it should be.").after =
          std::move(standing);
      return true;
    }
    const auto* best = checked.best_adjustment();
    return best ? add_dose(checked, *best, knowledge) : add_withheld(checked);
  }
  bool add_withheld(const CheckResult& checked) {
    for (const auto& one : checked.adjustments)
      if (!one.withheld.empty()) {
        add(MendAction::dose, "Acid or alkali would bring it back.").withheld = one.withheld;
        return true;
      }
    return false;
  }
  std::string why_dosed() const {
    std::string why = "Add it in small parts, mix and read after each; stop when it is there.";
    const bool another = std::ranges::any_of(
        cause().likely.lines, [](const auto& line) { return !line.ingredient.empty(); });
    if (another)
      why += " It is then another formula than the one written: keep it only if you can use that.";
    return why;
  }
  bool add_dose(const CheckResult& checked, const Adjustment& best,
                const BatchKnowledge& knowledge) {
    const bool by_reading = way_of(cause().hypothesis.kind) == Way::by_reading;
    if (!by_reading && best.grams > most_dosed * checked.formula.batch_g) return false;
    auto standing = beside_.mended(
        with_adjuster(checked.formula, best.adjuster, best.percent, best.from_water, tables_),
        knowledge);
    if (!beside_.passes(standing)) return false;
    auto& mend = add(MendAction::dose, why_dosed());
    mend.after = std::move(standing);
    mend.after.ph = best.ph_after;
    mend.batch_g = checked.formula.batch_g + (best.from_water ? 0 : best.grams);
    mend.weighings.push_back(
        {best.adjuster.ingredient, best.name, best.grams, best.adjuster.stock_percent});
    mend.withheld = best.withheld;
    if (!mend.withheld.empty()) mend.weighings.clear();
    return true;
  }
  /// What no line says is known by its reading alone.
  void dose_by_reading() {
    auto options =
        dosing(explanation_.options.target ? std::optional(explanation_.options.target->value())
                                           : std::nullopt);
    options.knowledge = learned_.knowledge;
    const auto checked = check(learned_.formula, tables_, options);
    if (!checked.prediction) return;
    auto& standing = explanation_.standings.back();
    standing = beside_.standing_of(learned_.formula, {}, learned_.knowledge);
    standing.ph = checked.prediction->ph;
    if (!checked.adjustment_needed && standing.in_window) {
      add(MendAction::accept, cause().hypothesis.kind == "none"
                                  ? "It reads as it should."
                                  : "It suits everything in it as it is.");
      return;
    }
    if (!dose(checked, learned_.knowledge))
      remake("No acid or alkali brings it to a pH that suits everything in it.");
  }

  // ---- do they agree? ----

  void withhold() {
    explanation_.withheld = why_withheld();
    if (explanation_.withheld.empty()) return withhold_of_the_unlikely();
    for (auto& mend : explanation_.mends) {
      const bool weighs = !mend.weighings.empty();
      mend.weighings.clear();
      if (weighs) mend.batch_g.reset();
      if (weighs && mend.withheld.empty()) mend.withheld = explanation_.withheld;
    }
  }
  /// Grams for what is but possible are given once a check has shown it.
  void withhold_of_the_unlikely() {
    const Mend* first = mend_of(0);
    if (!first) return;
    const Mend leading = *first;
    for (auto& mend : explanation_.mends) {
      if (mend.cause == 0 || mend.weighings.empty() || same_weighings(mend, leading)) continue;
      mend.weighings.clear(), mend.batch_g.reset();
      if (mend.withheld.empty()) mend.withheld = "Grams once a check has shown that it is this.";
    }
  }
  const Mend* mend_of(std::size_t cause) const {
    for (const auto& mend : explanation_.mends)
      if (mend.cause == cause && mend.first) return &mend;
    return nullptr;
  }
  std::string why_withheld() const {
    const auto& options = explanation_.options;
    if (!options.withheld.empty()) return options.withheld;
    if (options.log && options.log->left_out > 0)
      return "No grams: after the last reading that counts, the log has an addition that cannot be "
             "read in full.";
    const auto& causes = explanation_.explained.causes;
    const bool as_expected = causes.front().hypothesis.kind == "none" && explanation_.measurement &&
                             explanation_.measurement->difference == Difference::inside;
    if (as_expected || causes.front().probability >= sure_of_cause) return {};
    double agreeing = 0;
    std::vector<std::string> others;
    const Mend* first = mend_of(0);
    for (std::size_t c = 0; c < explanation_.leading(); ++c) {
      const Mend* mend = mend_of(c);
      if (first && mend && same_weighings(*first, *mend))
        agreeing += causes[c].probability;
      else
        others.push_back(causes[c].hypothesis.what);
    }
    if (others.empty() && agreeing >= least_agreeing) return {};
    if (others.empty())
      return "No grams yet: too many other causes are possible. Make the first check.";
    return fmt::format("No grams until this is ruled out: {}.", fmt::join(others, "; "));
  }

  Explanation& explanation_;
  std::span<const BatchReading> readings_;
  const Calibration& learned_;
  const Tables& tables_;
  Formula intended_;
  Beside beside_;
  std::size_t cause_ = 0;
  Formula batch_;
};

}  // namespace

void add_mends(Explanation& explanation, std::span<const BatchReading> readings,
               const Calibration& learned) {
  Mender(explanation, readings, learned).mend();
}

}  // namespace counterion
