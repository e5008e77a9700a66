// SPDX-License-Identifier: MIT
#include "checks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>

namespace counterion {
namespace {

/// A check at the bench goes wrong once in so many times (assumption).
constexpr double wrongly_found = 0.05;
/// What sticks to spoons and what dries away: the weight of a batch is not sure to this share of it
/// (assumption, a standard deviation).
constexpr double batch_weight_off = 0.004;
/// Minutes that are as good as nothing beside those of a check.
constexpr double minutes_at_hand = 8;

constexpr std::string_view weighing = "weigh-batch";

/// Checks that are about one line, one at a time.
bool is_about_a_line(std::string_view check) {
  return check == "look-at-pack" || check == "read-material" || check == "look-at-vessel" ||
         check == "weigh-again";
}

double entropy_bits(const std::vector<double>& shares) {
  double bits = 0;
  for (const double share : shares)
    if (share > 0) bits -= share * std::log2(share);
  return bits;
}

}  // namespace

const tables::Mishap& CheckBench::row_of(const Hypothesis& cause) const {
  return *std::ranges::find(tables_.mishaps(), cause.mishap, &tables::Mishap::id);
}

std::string CheckBench::name(std::size_t item) const {
  const auto& line = formula_.items[item];
  return line.listed() ? tables_.display_name(line.ingredient) : line.written;
}

/// Whether a check finds something wrong when this is the cause.
bool CheckBench::is_amiss(const Subject& subject, const Hypothesis& cause) const {
  if (cause.kind == "none") return false;
  if (row_of(cause).check != subject.check) return false;
  return !subject.item || std::ranges::count(cause.items, *subject.item) > 0;
}

/// What the whole batch weighs more than it should.
double CheckBench::grams(const Hypothesis& cause, const Variation& variation) const {
  double grams = 0;
  for (const auto& line : variation.lines)
    grams += (line.factor - 1) * formula_.items[line.item].percent / 100 * formula_.batch_g;
  for (const auto& item : formula_.items)
    if (item.ingredient == "water")
      grams -= (1 - variation.water_left) * item.percent / 100 * formula_.batch_g;
  return cause.kind == "adjuster-added-twice" ? 0 : grams;
}

double CheckBench::probability(const Finding& finding, const Hypothesis& cause) const {
  const bool amiss = is_amiss({finding.check, finding.item}, cause);
  if (!finding.grams)
    return amiss == finding.amiss ? 1 - wrongly_found : wrongly_found;
  const double off = batch_weight_off * formula_.batch_g;
  double density = 0;
  for (const auto& variation : cause.variations) {
    const double z = (*finding.grams - formula_.batch_g - grams(cause, variation)) / off;
    density += variation.weight * std::exp(-0.5 * z * z);
  }
  constexpr double anything = 1e-3;
  return density + anything;
}

void CheckBench::require_known(std::span<const Finding> findings) const {
  std::set<std::string_view> known;
  for (const auto& row : tables_.mishaps())
    if (!row.check.empty()) known.insert(row.check);
  std::vector<Problem> problems;
  for (const auto& finding : findings) {
    if (!known.contains(finding.check))
      add_problem(problems, {}, fmt::format("a finding of the check '{}'", finding.check),
                  fmt::format("one of {}", fmt::join(known, ", ")));
    if (finding.item && *finding.item >= formula_.items.size())
      add_problem(problems, {}, fmt::format("a finding about line {}", *finding.item + 1),
                  fmt::format("lines 1 to {}", formula_.items.size()));
    if (finding.grams && !(*finding.grams > 0 && *finding.grams < 1e9))
      add_problem(problems, {}, fmt::format("the batch weighs {} g", *finding.grams),
                  "more than 0 g, 1e9 g at most");
  }
  if (!problems.empty()) throw BadInput(std::move(problems));
}

std::vector<CheckBench::Subject> CheckBench::subjects(const std::vector<Cause>& causes) const {
  std::vector<Subject> all;
  const auto add = [&](Subject subject) {
    const bool known = std::ranges::any_of(all, [&](const Subject& other) {
      return other.check == subject.check && other.item == subject.item;
    });
    if (!known) all.push_back(std::move(subject));
  };
  constexpr std::size_t most = 12;
  for (std::size_t c = 0; c < causes.size() && c < most; ++c) {
    const auto& cause = causes[c];
    if (cause.hypothesis.kind == "none") continue;
    if (!is_about_a_line(cause.check)) add({cause.check, std::nullopt});
    else
      for (const std::size_t item : cause.hypothesis.items) add({cause.check, item});
  }
  return all;
}

namespace {

/// The causes by their new probabilities, the first few.
std::vector<std::pair<std::size_t, double>> leading(const std::vector<double>& shares) {
  std::vector<std::pair<std::size_t, double>> order;
  for (std::size_t c = 0; c < shares.size(); ++c) order.emplace_back(c, shares[c]);
  constexpr std::size_t most = 3;
  std::ranges::partial_sort(order, order.begin() + static_cast<long>(std::min(most, order.size())),
                            std::greater{}, [](const auto& one) { return one.second; });
  if (order.size() > most) order.resize(most);
  return order;
}

}  // namespace

/// Two findings: as it should be, or not.
std::vector<CheckOutcome> CheckBench::outcomes(const Subject& subject,
                                               const std::vector<Cause>& causes) const {
  std::vector<CheckOutcome> both;
  for (const bool amiss : {true, false}) {
    CheckOutcome outcome;
    outcome.what = amiss ? "something is wrong there" : "all is as it should be";
    outcome.finding = {subject.check, subject.item, amiss, std::nullopt};
    std::vector<double> shares;
    for (const auto& cause : causes)
      shares.push_back(cause.probability * probability(outcome.finding, cause.hypothesis));
    outcome.probability = std::accumulate(shares.begin(), shares.end(), 0.0);
    for (double& share : shares) share /= outcome.probability;
    outcome.leading = leading(shares);
    both.push_back(std::move(outcome));
  }
  return both;
}

/// One finding for each weight that a cause would give the batch.
std::vector<CheckOutcome> CheckBench::weights(const Subject& subject,
                                              const std::vector<Cause>& causes) const {
  const double step = 2 * batch_weight_off * formula_.batch_g;
  std::vector<std::pair<double, double>> groups;  // grams, probability
  for (const auto& cause : causes) {
    const double more = grams(cause.hypothesis, cause.likely);
    const auto near = std::ranges::find_if(
        groups, [&](const auto& group) { return std::abs(group.first - more) < step; });
    if (near != groups.end()) near->second += cause.probability;
    else groups.emplace_back(more, cause.probability);
  }
  std::vector<CheckOutcome> all;
  for (const auto& [more, share] : groups) {
    CheckOutcome outcome;
    outcome.what = std::abs(more) < step ? "it weighs what it should"
                                         : fmt::format("it weighs about {:.3g} g too {}",
                                                       std::abs(more), more < 0 ? "little" : "much");
    outcome.finding = {subject.check, std::nullopt, std::abs(more) >= step,
                       formula_.batch_g + more};
    outcome.probability = share;
    std::vector<double> shares;
    for (const auto& cause : causes)
      shares.push_back(cause.probability * probability(outcome.finding, cause.hypothesis));
    const double sum = std::accumulate(shares.begin(), shares.end(), 0.0);
    for (double& one : shares) one /= sum;
    outcome.leading = leading(shares);
    all.push_back(std::move(outcome));
  }
  return all;
}

AdvisedCheck CheckBench::judged(const Subject& subject, const std::vector<Cause>& causes) const {
  AdvisedCheck check{subject.check, subject.item, {}, 0, 0, {}};
  for (const auto& cause : causes)
    if (check.what_to_do.empty() && is_amiss(subject, cause.hypothesis)) {
      check.what_to_do = cause.what_to_check;
      check.minutes = row_of(cause.hypothesis).check_minutes;
    }
  check.outcomes = subject.check == weighing ? weights(subject, causes) : outcomes(subject, causes);
  std::vector<double> before;
  for (const auto& cause : causes) before.push_back(cause.probability);
  double after = 0;
  for (const auto& outcome : check.outcomes) {
    std::vector<double> shares;
    for (const auto& cause : causes)
      shares.push_back(cause.probability * probability(outcome.finding, cause.hypothesis));
    const double sum = std::accumulate(shares.begin(), shares.end(), 0.0);
    for (double& share : shares) share /= sum;
    after += outcome.probability * entropy_bits(shares);
  }
  check.bits = std::max(0.0, entropy_bits(before) - after);
  std::ranges::sort(check.outcomes, std::greater{}, &CheckOutcome::probability);
  return check;
}

std::vector<AdvisedCheck> CheckBench::advised(const std::vector<Cause>& causes) const {
  std::vector<AdvisedCheck> all;
  for (const auto& subject : subjects(causes)) all.push_back(judged(subject, causes));
  std::ranges::stable_sort(all, std::greater{}, [](const AdvisedCheck& check) {
    return check.bits / (minutes_at_hand + check.minutes);
  });
  constexpr double worth_it = 0.02;
  std::erase_if(all, [](const AdvisedCheck& check) { return check.bits < worth_it; });
  return all;
}

}  // namespace counterion
