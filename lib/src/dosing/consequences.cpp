// SPDX-License-Identifier: MIT
#include "consequences.hpp"

#include <algorithm>

namespace counterion {
namespace {

bool among(const std::vector<FiredCaution>& cautions, const FiredCaution& one) {
  return std::any_of(cautions.begin(), cautions.end(),
                     [&](const FiredCaution& other) { return other.id == one.id; });
}

bool is_stop(const FiredCaution& caution) {
  return caution.severity == tables::Severity::stop;
}

/// Whether a caution or a limit is about a line of the formula.
template <class About>
bool is_about(const About& what, std::size_t line) {
  return std::ranges::find(what.items, line) != what.items.end();
}

/// Whether a move goes further into the span of pH of a stop: who has gone too far is not sent
/// further.
bool goes_deeper(const FiredCaution& caution, double from, double to) {
  const bool below = caution.maximum_ph && !caution.minimum_ph;
  const bool above = caution.minimum_ph && !caution.maximum_ph;
  return (below && to < from) || (above && to > from);
}

/// What a caution's row is about, where it matters here.
struct Subjects {
  std::string_view a, b;
  Subjects(const FiredCaution& caution, const Tables& tables) {
    const auto row = std::ranges::find(tables.cautions(), caution.id, &tables::Caution::id);
    if (row != tables.cautions().end()) a = row->a, b = row->b;
  }
  /// Lye is used up by oil: the batch will not have the pH worked out.
  bool makes_soap() const { return b == "soap-giving-oil"; }
  /// Soap made here of fatty acid and alkali, which acid undoes.
  bool undoes_soap() const { return a == "fatty-acid" && b == "alkaline-neutraliser"; }
};

/// From this pH up fatty acid and alkali stand as soap in a cream (assumption: their apparent pK is
/// about 7 to 8).
constexpr double soap_from_ph = 7;

}  // namespace

bool Consequences::withholds(const FiredCaution& caution, std::size_t adjuster_line) const {
  const bool is_new = !among(now_, caution);
  if (is_stop(caution))
    return is_new || is_about(caution, adjuster_line) ||
           goes_deeper(caution, predicted_, target_) || Subjects(caution, tables_).makes_soap();
  return is_new && predicted_ >= soap_from_ph && target_ < predicted_ &&
         Subjects(caution, tables_).undoes_soap();
}

void Consequences::add(const Formula& adjusted, Adjustment& result) const {
  const std::size_t line = adjusted.items.size() - 1;
  const auto withhold = [&](const FiredCaution& caution) {
    if (result.withheld.empty()) result.withheld = caution.what_happens;
  };
  for (const auto& caution :
       at_target_)  // a weak stock would thin it below a dose at which it holds
    if (is_stop(caution) && !among(now_, caution)) withhold(caution);
  for (auto& caution : cautions_of(adjusted, target_, target_, tables_)) {
    if (withholds(caution, line)) withhold(caution);
    if (caution.severity != tables::Severity::note &&
        !among(is_stop(caution) ? now_ : at_target_, caution))
      result.cautions.push_back(std::move(caution));
  }
  for (auto& limit : limits_of(adjusted, tables_, judging_))
    if (limit.exceeded && is_about(limit, line)) result.limits.push_back(std::move(limit));
}

}  // namespace counterion
