// SPDX-License-Identifier: MIT
#include "naming.hpp"

#include <counterion/text/number.hpp>

#include <fmt/format.h>

namespace counterion::formula {

Meant grades_of(const Tables& tables, const std::string& name, double strength) {
  return tables.meanings(fmt::format("{} {} %", name, text::format_number(strength)));
}

Meant meanings_of(const Tables& tables, const std::string& name, std::optional<double> strength) {
  if (!strength) return tables.meanings(name);
  auto exact = grades_of(tables, name, *strength);
  return exact.empty() ? tables.meanings(name) : exact;
}

}  // namespace counterion::formula
