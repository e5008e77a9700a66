// SPDX-License-Identifier: MIT
// A pH ruler drawn in characters.
#pragma once

#include "page.hpp"

namespace counterion::report {

/// The stretch of pH that a ruler shows and how many columns a unit takes.
struct Scale {
  int low = 0, high = 14;
  std::size_t columns_per_unit = 4;

  std::size_t columns() const {
    return static_cast<std::size_t>(high - low) * columns_per_unit + 1;
  }
  /// The column (from 0) of a pH, kept on the ruler.
  std::size_t column(double ph) const;
};

/// One row of a ruler: a name, what is drawn, and the same in figures.
class Ruler {
 public:
  Ruler(Page& page, const Scale& scale, std::size_t name_columns);

  void axis();
  /// A bar between two ends; an open end points off the ruler.
  void bar(std::string_view name, const std::optional<double>& low, const std::optional<double>& high,
           bool solid, std::string_view figures);
  /// A filled stretch that all share.
  void band(std::string_view name, double low, double high, std::string_view figures);
  /// An interval with its middle.
  void interval(std::string_view name, double low, double middle, double high,
                std::string_view figures);
  void mark(std::string_view name, double ph, std::string_view figures);

 private:
  using Cells = std::vector<std::string_view>;
  Cells blank() const { return Cells(scale_.columns(), " "); }
  void fill(Cells& cells, std::size_t from, std::size_t to, std::string_view glyph) const;
  void row(std::string_view name, const Cells& cells, std::string_view figures);

  Page& page_;
  Scale scale_;
  std::size_t name_columns_;
};

}  // namespace counterion::report
