// SPDX-License-Identifier: MIT
#include "work_steps.hpp"

#include <counterion/batch/drift.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace counterion {
namespace {

/// Lines of the formula that one of these subjects covers, by name, each name once.
std::vector<std::string> covered(const CheckResult& check,
                                 std::initializer_list<std::string_view> subjects) {
  std::vector<std::string> names;
  for (std::size_t i = 0; i < check.formula.items.size(); ++i) {
    const auto& item = check.formula.items[i];
    const bool meant = item.listed() && item.percent > 0 &&
                       std::ranges::any_of(subjects, [&](std::string_view subject) {
                         return check.tables.covers(subject, item.ingredient);
                       });
    const auto name = check.name_of(i);
    if (meant && !std::ranges::count(names, name)) names.push_back(name);
  }
  return names;
}

/// Everything that pulls at the pH by more than a twentieth of the strongest, but for the adjuster.
std::vector<std::string> movers(const CheckResult& check) {
  const auto& charges = check.prediction->charge_meq_per_kg;
  double most = 0;
  for (const double charge : charges) most = std::max(most, std::abs(charge));
  std::vector<std::string> names;
  for (std::size_t i = 0; i < charges.size(); ++i)
    if (std::abs(charges[i]) > most / 20 && check.formula.items[i].note != adjuster_note)
      names.push_back(check.name_of(i));
  return names;
}

/// The quick change that moves the pH most by itself, where a meter would tell; within three days it is over.
std::optional<DriftCause> quick_change(const CheckResult& check) {
  if (!check.phase) return std::nullopt;
  const auto drift = drift_of(check.formula, *check.phase, check.tables, {.storage = {}, .days = {0, 3}});
  for (const auto& cause : drift.causes)
    if (cause.quick && std::abs(cause.shift_ph) >= 0.5 * close_enough) return cause;
  return std::nullopt;
}

/// Writes the steps down one after the other.
class Steps {
 public:
  Steps(const BatchAnswer& answer, const Tables& tables)
      : answer_(answer), check_(answer.check), tables_(tables) {}

  std::vector<WorkStep> all() {
    const auto all = movers(check_);
    if (!all.empty())
      say(fmt::format("Everything that moves the pH goes in before it is adjusted: {}.",
                      fmt::join(all, ", ")),
          "what comes later moves it again");
    polymer();
    hold_back();
    lactone();
    say("Let it cool below 40 °C, and read it at 20 to 25 °C, well mixed.",
        "a warm batch reads otherwise than a cold one");
    adjusting();
    say(answer_.chosen ? "Fill up with the water that was held back, mix, and read once more."
                       : "Fill up to the whole batch, mix, and read once more.",
        "the last reading is the one that counts");
    release();
    return std::move(steps_);
  }

 private:
  void say(std::string what, std::string why, std::string source = "common-practice",
           std::string row_id = {}) {
    steps_.push_back({std::move(what), std::move(why), std::move(source), std::move(row_id)});
  }
  void polymer() {
    const auto names = covered(check_, {"carbomer", "acrylate-thickener"});
    if (names.empty()) return;
    say(fmt::format("Let {} swell fully before any base, stir slowly while it thickens, and "
                    "fine-tune last.",
                    fmt::join(names, " and ")),
        "dry lumps are neutralised late and the pH falls back; salt goes in after the gel has "
        "formed, as little as can be");
  }
  void hold_back() {
    if (!answer_.chosen) return;
    const auto& one = check_.adjustments[*answer_.chosen];
    if (!one.from_water)
      return say("The adjuster comes on top of the batch: there is not enough water to hold back.",
                 "");
    say(fmt::format("Hold back {:.3g} g of the water.", one.grams_high.value_or(one.grams)),
        "the adjuster takes its place");
  }
  void lactone() {
    const auto change = quick_change(check_);
    if (!change) return;
    say("Adjust it roughly now, and for good the next day.", change->watch_for, change->source, change->row_id);
  }
  void adjusting() {
    if (answer_.plan && !answer_.plan->additions.empty())
      say("Weigh in the first addition, stir until it is even (two to five minutes, longer in a "
          "cream or gel), read, and ask again "
          "with the reading before the next.",
          "the reading tells how firmly this batch holds its pH");
    else if (check_.target && !check_.adjustment_needed)
      say("Leave it alone.", "it needs nothing");
  }
  void release() {
    if (!answer_.release) return;
    say(fmt::format("It may go out at readings of {:.2f} to {:.2f}.", answer_.release->low,
                    answer_.release->high),
        "inside the window by what the meter may be off, and near enough to where it was meant to "
        "be");
  }

  const BatchAnswer& answer_;
  const CheckResult& check_;
  const Tables& tables_;
  std::vector<WorkStep> steps_;
};

}  // namespace

std::vector<WorkStep> work_steps(const BatchAnswer& answer, const Tables& tables) {
  return Steps(answer, tables).all();
}

}  // namespace counterion
