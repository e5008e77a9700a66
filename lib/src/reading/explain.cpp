// SPDX-License-Identifier: MIT
#include <counterion/reading/explain.hpp>

#include "checks.hpp"
#include "evidence.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace counterion {
namespace {

/// A hypothesis with the log of prior times density of each of its sizes.
struct Weighed {
  Hypothesis hypothesis;
  std::vector<double> logs;  ///< one a variation
  bool refined = false;

  double log_sum() const {
    const double most = std::ranges::max(logs);
    double sum = 0;
    for (const double one : logs) sum += std::exp(one - most);
    return most + std::log(sum);
  }
  const Variation& likely() const {
    return hypothesis
        .variations[static_cast<std::size_t>(std::ranges::max_element(logs) - logs.begin())];
  }
};

/// Ranks all that may have gone wrong.
class Ranking {
 public:
  Ranking(const Evidence& evidence, const CheckBench& bench, std::span<const Finding> findings)
      : evidence_(evidence), bench_(bench), findings_(findings) {}

  void add(Hypothesis hypothesis) {
    const bool looked_for = std::ranges::any_of(
        findings_, [&](const Finding& finding) { return bench_.shows(finding.check, hypothesis); });
    if (hypothesis.kind != "none" && !looked_for && !reaches(hypothesis)) return;
    Weighed one{std::move(hypothesis), {}, false};
    const double prior = std::log(one.hypothesis.prior) + log_of_findings(one.hypothesis);
    for (const auto& variation : one.hypothesis.variations)
      one.logs.push_back(prior + std::log(variation.weight) + log_likelihood(variation));
    all_.push_back(std::move(one));
  }
  /// Makes the phases anew of those that may lead, until all that lead are such: a mishap that
  /// changes the ionic strength much is badly judged by the charge alone.
  void refine() {
    constexpr double may_lead = 10;  // e to the tenth times less probable by charge alone
    constexpr std::size_t most = 24, leading = 8;
    sort();
    const double best = all_.front().log_sum();
    for (std::size_t i = 0; i < all_.size() && i < most; ++i)
      if (all_[i].log_sum() > best - may_lead) make_anew(all_[i]);
    for (bool changed = true; changed;) {
      sort();
      changed = false;
      for (std::size_t i = 0; i < all_.size() && i < leading; ++i)
        if (!all_[i].refined) make_anew(all_[i]), changed = true;
    }
  }
  std::vector<Weighed>& all() { return all_; }

 private:
  /// What does not move the reading explains nothing.
  bool reaches(const Hypothesis& hypothesis) const {
    constexpr double least = 0.03;
    return std::ranges::any_of(hypothesis.variations, [&](const Variation& variation) {
      return !Evidence::can_be_screened(variation) || evidence_.reach(variation) > least;
    });
  }
  double log_of_findings(const Hypothesis& hypothesis) const {
    double sum = 0;
    for (const auto& finding : findings_) sum += std::log(bench_.probability(finding, hypothesis));
    return sum;
  }
  double log_likelihood(const Variation& variation) const {
    return Evidence::can_be_screened(variation) ? evidence_.log_screened(variation)
                                                : evidence_.log_density(variation);
  }
  void make_anew(Weighed& one) const {
    constexpr double far = 7;  // a thousandth
    const double most = std::ranges::max(one.logs);
    for (std::size_t v = 0; v < one.logs.size(); ++v) {
      const auto& variation = one.hypothesis.variations[v];
      const bool done = !Evidence::can_be_screened(variation) || variation.lines.empty();
      if (done || one.logs[v] < most - far) continue;
      one.logs[v] += evidence_.log_density(variation) - evidence_.log_screened(variation);
    }
    one.refined = true;
  }
  void sort() {
    std::ranges::stable_sort(all_, std::greater{},
                             [](const Weighed& one) { return one.log_sum(); });
  }

  const Evidence& evidence_;
  const CheckBench& bench_;
  std::span<const Finding> findings_;
  std::vector<Weighed> all_;
};

/// Shares of the whole from logarithms, the largest first.
std::vector<double> shares_of(const std::vector<Weighed>& all) {
  std::vector<double> shares;
  double sum = 0;
  for (const auto& one : all) {
    shares.push_back(std::exp(one.log_sum() - all.front().log_sum()));
    sum += shares.back();
  }
  for (double& share : shares) share /= sum;
  return shares;
}

Cause cause_of(Weighed&& one, double probability, const Tables& tables) {
  const auto row = std::ranges::find(tables.mishaps(), one.hypothesis.mishap, &tables::Mishap::id);
  Cause cause{{},
              probability,
              one.likely(),
              {},
              std::string(row->how_it_shows),
              std::string(row->check),
              std::string(row->cheapest_check)};
  cause.hypothesis = std::move(one.hypothesis);
  if (!cause.likely.what.empty()) cause.hypothesis.what = cause.likely.what;
  return cause;
}

}  // namespace

namespace {

/// The first reading and the last ones; what was added before a reading that is left out belongs to
/// the next that is not.
std::vector<BatchReading> at_most(std::size_t count, std::span<const BatchReading> readings) {
  if (readings.size() <= count) return {readings.begin(), readings.end()};
  std::vector<BatchReading> kept{readings.front()};
  std::vector<Portion> pending;
  for (std::size_t n = 1; n < readings.size(); ++n) {
    pending.insert(pending.end(), readings[n].added.begin(), readings[n].added.end());
    if (n + count <= readings.size()) continue;
    kept.push_back(readings[n]);
    kept.back().added = std::move(pending);
    pending.clear();
  }
  return kept;
}

}  // namespace

Explained explain_readings(const Formula& formula, std::span<const BatchReading> all_readings,
                           const Tables& tables, const Circumstances& circumstances,
                           std::span<const Finding> findings) {
  const CheckBench bench(formula, tables);
  bench.require_known(findings);
  const auto readings = at_most(most_readings_explained, all_readings);
  const Evidence evidence(formula, readings, tables, circumstances);
  Explained explained;
  if (!evidence.meaningful()) return explained;
  explained.surprise = evidence.surprise();
  explained.expected_ph = evidence.last_ph({}).value_or(0);
  Ranking ranking(evidence, bench, findings);
  for (auto& hypothesis : hypotheses_for(formula, readings, tables, circumstances)) {
    ranking.add(std::move(hypothesis));
    explained.thought_of += 1;
  }
  ranking.refine();
  const auto shares = shares_of(ranking.all());
  for (std::size_t c = 0; c < shares.size(); ++c)
    explained.causes.push_back(cause_of(std::move(ranking.all()[c]), shares[c], tables));
  explained.near_equal = static_cast<std::size_t>(std::ranges::count_if(
      shares, [&](double share) { return share * near_equal_ratio >= shares.front(); }));
  constexpr std::size_t shown = 8;
  for (std::size_t c = 0; c < explained.causes.size() && c < shown; ++c)
    explained.causes[c].ph = evidence.last_ph(explained.causes[c].likely);
  explained.checks = bench.advised(explained.causes);
  return explained;
}

}  // namespace counterion
