// SPDX-License-Identifier: MIT
// Many solutions of one structure, solved as many at once as a register of this processor holds.
#pragma once

#include <counterion/chemistry/solution.hpp>

#include <cstddef>
#include <cstdint>
#include <map>
#include <span>
#include <string_view>
#include <utility>

namespace counterion {

/// How one of many solutions ended.
enum class Status : std::uint8_t {
  solved,
  /// A number that is not finite or outside of what `Solution` takes, a held reserve that dissolves without
  /// end, or interactions that do not settle; the pH is no number.
  bad_input,
};

/// One solution and what differs in its variants, a column of numbers each, one number a variant. Columns are
/// views: what they show must outlive the variants.
class Variants {
 public:
  /// So many times the pattern.
  Variants(Solution pattern, std::size_t count) : pattern_(std::move(pattern)), count_(count) {}

  /// Molality of the component at this position (mol/kg of water; a polymer's of its sites). Throws
  /// std::out_of_range for a position that is none, BadInput when there is not one number a variant.
  Variants& molality(std::size_t position, std::span<const double> mol_per_kg);
  /// A pK (25 °C, no ionic strength), counted from 0 in a protolyte's steps; a polymer's pK0 is its only one.
  /// Throws as `molality` does; a strong ion has none.
  Variants& pK(std::size_t position, std::size_t step, std::span<const double> values);
  /// Net strong charge beside the components (mol/kg, + as sodium, - as chloride), in place of the pattern's.
  /// Throws BadInput when there is not one number a variant.
  Variants& strong_charge(std::span<const double> mol_per_kg);

  const Solution& pattern() const noexcept { return pattern_; }
  std::size_t count() const noexcept { return count_; }
  /// `count` of these from `first` on, for a thread of the caller's. Throws std::out_of_range.
  Variants part(std::size_t first, std::size_t count) const;

 private:
  friend class VariantColumns;
  using View = std::span<const double>;

  Solution pattern_;
  std::size_t count_;
  std::map<std::size_t, View> molality_;
  std::map<std::pair<std::size_t, std::size_t>, View> pK_;
  std::optional<View> strong_charge_;
};

/// The pH of every variant as `Solution` finds it, to the solver's contract; where they are asked for, ionic
/// strengths (mol/kg) and how each ended. (Ions of five and more charges can leave one composition several
/// answers: then one of them.) No allocation grows with the number of variants; other threads may solve other
/// parts at the same time. Throws BadInput when a span is not as long as there are variants; none of them may
/// overlap a column.
void solve_many(const Variants& variants, std::span<double> ph, std::span<double> ionic_strength = {},
                std::span<Status> status = {});

/// The instructions that `solve_many` uses on this processor: "avx512", "avx2", "baseline" (those that the
/// library is compiled for) or "none" where there is no kernel, and variants are solved one by one.
std::string_view lanes_in_use();

}  // namespace counterion
