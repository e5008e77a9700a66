// SPDX-License-Identifier: MIT
// What the person wrote, resolved: a formula in percent by weight.
#pragma once

#include <counterion/error.hpp>
#include <counterion/tables/tables.hpp>

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace counterion {

/// Kinds of product that a formula may state, and its uses.
inline constexpr auto product_types = tables::product_kinds;
inline constexpr std::array<std::string_view, 2> product_uses{"leave-on", "rinse-off"};

/// One line of a formula.
struct FormulaItem {
  std::string written;          ///< the name as the person wrote it
  std::string ingredient;       ///< id in the tables; empty for a material in no table
  double percent = 0;           ///< of the whole formula by weight, 0 to 100
  bool fills_to_100 = false;    ///< written as q.s. or "to 100"
  std::string phase;            ///< as written, may be empty
  std::string note;             ///< as written, may be empty
  std::optional<double> strength_percent;  ///< active matter as declared on the line
  std::optional<double> declared_ph_low;   ///< declared on the line: pH of the material …
  std::optional<double> declared_ph_high;
  std::optional<double> declared_at_percent;  ///< … at this mass percent in water
  Place place;                  ///< where it stands in the file
  std::vector<std::string> alternatives;  ///< ids that the name may mean besides, which is less usual
  bool listed() const noexcept { return !ingredient.empty(); }
};

/// Something said about a formula that does not stop the work (totals, guesses, encodings).
struct Diagnostic {
  Place place;
  std::string message;
};

/// A formula, every name resolved; percents are as written, never rescaled.
struct Formula {
  std::string name;
  std::string product_type;  ///< one of product_types; empty = not stated
  std::string use;           ///< one of product_uses; empty = not stated
  double batch_g = 100;
  bool batch_stated = false;
  std::vector<FormulaItem> items;
  double total_percent = 0;  ///< after q.s. has been filled
  std::vector<Diagnostic> diagnostics;
};

}  // namespace counterion
