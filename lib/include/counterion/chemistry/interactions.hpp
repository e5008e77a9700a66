// SPDX-License-Identifier: MIT
// Interaction coefficients of pairs of ions, as specific ion interaction theory uses them.
#pragma once

#include <compare>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace counterion {

/// An ion by the name of its substance and its charge; `hydrogen_ion` and `hydroxide_ion` are water's own.
struct Ion {
  std::string name;
  int charge = 0;
  auto operator<=>(const Ion&) const = default;
};

inline const Ion hydrogen_ion{"hydrogen-ion", 1};
inline const Ion hydroxide_ion{"hydroxide-ion", -1};

/// ε of two ions, kg/mol, for decadic logarithms, at 25 °C.
struct Interaction {
  Ion first, second;
  double epsilon = 0;
  bool operator==(const Interaction&) const = default;
};

/// A set of coefficients, immutable; symmetric in the two ions.
class Interactions {
 public:
  Interactions() = default;
  /// Throws BadInput when an ion has no charge, a coefficient is not between -2 and 2, or a pair comes
  /// twice. The theory knows pairs of opposite charge; one of like charge counts where it is listed
  /// (for what else only mixing terms explain).
  explicit Interactions(const std::vector<Interaction>& all);

  /// ε of a pair in kg/mol: as listed, else the estimate for charges of opposite sign (Hummel 2009), 0 for
  /// those of like sign.
  double epsilon(const Ion& a, const Ion& b) const;
  /// Whether the pair is listed.
  bool knows(const Ion& a, const Ion& b) const { return epsilon_.contains(key(a, b)); }
  std::size_t size() const noexcept { return epsilon_.size(); }

 private:
  using Pair = std::pair<Ion, Ion>;
  static Pair key(const Ion& a, const Ion& b) { return a < b ? Pair{a, b} : Pair{b, a}; }
  std::map<Pair, double> epsilon_;
};

}  // namespace counterion
