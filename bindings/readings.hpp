// SPDX-License-Identifier: MIT
// Readings of a batch from whatever Python has: a log's path, or a sequence of pH with what was added.
#pragma once

#include "binding.hpp"

#include <counterion/batch/calibrate.hpp>
#include <counterion/formula/formula.hpp>

#include <optional>

namespace counterion::bindings {

/// Readings in their order, and what a log says besides.
struct Readings {
  std::vector<BatchReading> taken;
  bool from_log = false;
  std::optional<double> sample_g, batch_g;  ///< as a log's header states them
  std::vector<Diagnostic> diagnostics;      ///< of a log
};

/// `titrant` is what was added on lines of a log that do not name it. Throws BadInput with every fault, UnknownIngredient
/// for an adjuster that no table knows; TypeError for other sources.
Readings readings_from(const py::object& source, const Tables& tables, const std::string& titrant = {});

/// A number, whatever Python type carries it; TypeError for what is none. `what` is what messages call it.
double number_from(const py::handle& value, const std::string& what);

}  // namespace counterion::bindings
