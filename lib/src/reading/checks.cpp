// SPDX-License-Identifier: MIT
#include "checks.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>

namespace counterion {
namespace {

/// A check at the bench overlooks what there is, or sees what there is not, once in so many times
/// (assumption).
constexpr double overlooked = 0.1, imagined = 0.05;
/// What sticks to spoons and what dries away: the weight of a batch is not sure to this share of it
/// (assumption, a standard deviation).
constexpr double batch_weight_off = 0.004;
/// Minutes that are as good as nothing beside those of a check.
constexpr double minutes_at_hand = 8;
/// Causes of which the findings are thought through.
constexpr std::size_t most_causes = 12;

constexpr std::string_view weighing = "weigh-batch";

double sum_of(const std::vector<double>& shares) {
  return std::accumulate(shares.begin(), shares.end(), 0.0);
}

double entropy_bits(const std::vector<double>& shares) {
  double bits = 0;
  for (const double share : shares)
    if (share > 0) bits -= share * std::log2(share);
  return bits;
}

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

bool about_same_line(const Finding& finding, const Hypothesis& cause) {
  return !finding.item || cause.items.empty() || std::ranges::count(cause.items, *finding.item) > 0;
}

}  // namespace

const tables::Mishap& CheckBench::row_of(const Hypothesis& cause) const {
  return *std::ranges::find(tables_.mishaps(), cause.mishap, &tables::Mishap::id);
}

double CheckBench::excess_grams(const Hypothesis& cause, const Variation& variation) const {
  if (row_of(cause).check == "look-at-adjuster") return 0;
  double percent = 0;
  for (const auto& line : variation.lines)
    percent += (line.factor - 1) * formula_.items[line.item].percent;
  for (const auto& item : formula_.items)
    if (item.ingredient == "water") percent -= (1 - variation.water_left) * item.percent;
  return percent / 100 * formula_.batch_g;
}

double CheckBench::probability_of_weight(double grams, const Hypothesis& cause) const {
  const double off = batch_weight_off * formula_.batch_g;
  constexpr double anything = 1e-3;
  double density = anything;
  for (const auto& variation : cause.variations) {
    const double z = (grams - formula_.batch_g - excess_grams(cause, variation)) / off;
    density += variation.weight * std::exp(-0.5 * z * z);
  }
  return density;
}

double CheckBench::probability(const Finding& finding, const Hypothesis& cause) const {
  if (finding.grams) return probability_of_weight(*finding.grams, cause);
  const bool could_see = shows(finding.check, cause);
  if (finding.kind.empty()) return could_see ? overlooked : 1 - imagined;
  const bool seen = could_see && cause.kind == finding.kind && about_same_line(finding, cause);
  return seen ? 1 - overlooked : 0.1 * imagined;  // of about ten things that one may imagine
}

void CheckBench::require_known(std::span<const Finding> findings) const {
  std::set<std::string_view> checks, kinds;
  for (const auto& row : tables_.mishaps()) checks.insert(row.check), kinds.insert(row.kind);
  std::vector<Problem> problems;
  for (const auto& finding : findings) {
    if (!checks.contains(finding.check))
      add_problem(problems, {}, fmt::format("a finding of the check '{}'", finding.check),
                  fmt::format("one of {}", fmt::join(checks, ", ")));
    if (!finding.kind.empty() && !kinds.contains(finding.kind))
      add_problem(problems, {}, fmt::format("the check found '{}'", finding.kind),
                  fmt::format("one of {}", fmt::join(kinds, ", ")));
    if (finding.item && *finding.item >= formula_.items.size())
      add_problem(problems, {}, fmt::format("a finding about line {}", *finding.item + 1),
                  fmt::format("lines 1 to {}", formula_.items.size()));
    if (finding.grams && !(*finding.grams > 0 && *finding.grams < 1e9))
      add_problem(problems, {}, fmt::format("the batch weighs {} g", *finding.grams),
                  "more than 0 g, 1e9 g at most");
  }
  if (!problems.empty()) throw BadInput(std::move(problems));
}

std::vector<double> CheckBench::shares_after(const Finding& finding,
                                             const std::vector<Cause>& causes) const {
  std::vector<double> shares;
  for (const auto& cause : causes)
    shares.push_back(cause.probability * probability(finding, cause.hypothesis));
  return shares;
}

/// One finding for each cause that the check would show, and that all is as it should be.
std::vector<CheckOutcome> CheckBench::sights(const std::string& check,
                                             const std::vector<Cause>& causes) const {
  std::vector<CheckOutcome> all;
  const auto add = [&](std::string what, Finding finding) {
    const bool known = std::ranges::any_of(all, [&](const CheckOutcome& other) {
      return other.finding.kind == finding.kind && other.finding.item == finding.item;
    });
    if (!known) all.push_back({std::move(what), 0, std::move(finding), {}});
  };
  add("all is as it should be", {check, {}, {}, {}});
  for (std::size_t c = 0; c < causes.size() && c < most_causes; ++c) {
    const auto& cause = causes[c].hypothesis;
    if (!shows(check, cause)) continue;
    const auto item = cause.items.empty() ? std::nullopt : std::optional(cause.items.front());
    add(cause.what, {check, cause.kind, item, {}});
  }
  return all;
}

/// One finding for each weight that a cause would give the batch.
std::vector<CheckOutcome> CheckBench::weights(const std::vector<Cause>& causes) const {
  const double step = 3 * batch_weight_off * formula_.batch_g;
  std::vector<CheckOutcome> all;
  std::vector<double> seen;
  for (std::size_t c = 0; c < causes.size() && c < most_causes; ++c) {
    const double more = excess_grams(causes[c].hypothesis, causes[c].likely);
    if (std::ranges::any_of(seen, [&](double other) { return std::abs(other - more) < step; }))
      continue;
    seen.push_back(more);
    std::string what = std::abs(more) < step
                           ? "it weighs what it should"
                           : fmt::format("it weighs about {:.3g} g too {}", std::abs(more),
                                         more < 0 ? "little" : "much");
    all.push_back(
        {std::move(what), 0, {std::string(weighing), {}, {}, formula_.batch_g + more}, {}});
  }
  return all;
}

AdvisedCheck CheckBench::judged(const std::string& check, const std::vector<Cause>& causes) const {
  AdvisedCheck advised{check, {}, 0, 0, 0, {}};
  std::vector<double> before;
  for (const auto& cause : causes) {
    before.push_back(cause.probability);
    if (!shows(check, cause.hypothesis)) continue;
    advised.minutes = row_of(cause.hypothesis).check_minutes;
    constexpr double worth_saying = 0.01;
    const bool said = std::ranges::count(advised.what_to_do, cause.what_to_check) > 0;
    if (advised.what_to_do.empty() || (cause.probability > worth_saying && !said))
      advised.what_to_do.push_back(cause.what_to_check);
  }
  advised.outcomes = check == weighing ? weights(causes) : sights(check, causes);
  double all = 0, bits = 0;
  for (auto& outcome : advised.outcomes) {
    auto shares = shares_after(outcome.finding, causes);
    outcome.probability = sum_of(shares);
    for (double& share : shares) share /= outcome.probability;
    outcome.leading = leading(shares);
    all += outcome.probability;
    bits += outcome.probability * entropy_bits(shares);
    advised.sure_after += outcome.probability * outcome.leading.front().second;
  }
  for (auto& outcome : advised.outcomes) outcome.probability /= all;
  advised.sure_after /= all;
  advised.bits = std::max(0.0, entropy_bits(before) - bits / all);
  std::ranges::sort(advised.outcomes, std::greater{}, &CheckOutcome::probability);
  return advised;
}

std::vector<AdvisedCheck> CheckBench::advised(const std::vector<Cause>& causes) const {
  std::vector<AdvisedCheck> all;
  for (std::size_t c = 0; c < causes.size() && c < most_causes; ++c) {
    const bool known = std::ranges::count(all, causes[c].check, &AdvisedCheck::check) > 0;
    if (!known && causes[c].hypothesis.kind != "none")
      all.push_back(judged(causes[c].check, causes));
  }
  std::ranges::stable_sort(all, std::greater{}, [](const AdvisedCheck& check) {
    return check.bits / (minutes_at_hand + check.minutes);
  });
  constexpr double worth_it = 0.02;
  std::erase_if(all, [](const AdvisedCheck& check) { return check.bits < worth_it; });
  return all;
}

}  // namespace counterion
