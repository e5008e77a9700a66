// SPDX-License-Identifier: MIT
// What stands in the way of a formula, and which single changes might help.
#pragma once

#include <counterion/answer/remedies.hpp>

namespace counterion::remedy {

/// One thing that says stop, or a preservation below its figures.
struct Trouble {
  enum class Kind { conflict, caution, limit, preservation };
  Kind kind = Kind::conflict;
  std::string key;                               ///< tells troubles apart
  std::vector<std::vector<std::size_t>> sides;   ///< lines that take part; of a conflict below and above
  std::optional<double> most_percent;            ///< of the lines together, where less would help
};

/// A change with its price.
struct Priced {
  Change change;
  double cost = 0;
  std::string group;  ///< changes of one group are alternatives of the same kind
};

/// The question as it was asked.
struct Asked {
  const Tables& tables;
  const JudgeOptions& options;
  const Exclusions& exclusions;
};

/// Everything that says stop, the widest conflict first.
std::vector<Trouble> troubles_of(const Formula& formula, const Judged& judged, const Tables& tables);

/// Changes of a formula that might end a trouble, cheapest first; none of them has been tried.
std::vector<Priced> changes_for(const Formula& formula, const Judged& judged, const Trouble& trouble,
                                const Asked& asked);

/// Whether a line's material is a preservative by function.
bool is_preservative(const FormulaItem& item, const Tables& tables);

}  // namespace counterion::remedy
