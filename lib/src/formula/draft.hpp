// SPDX-License-Identifier: MIT
// A formula as read, whatever the file's format, before names are looked up and sums are made.
#pragma once

#include "findings.hpp"

#include <counterion/formula/formula.hpp>
#include <counterion/formula/read.hpp>

#include <optional>
#include <string>
#include <vector>

namespace counterion::formula {

/// One line; exactly one of percent, grams, fills unless its amount was at fault.
struct DraftLine {
  std::vector<std::string> names;  ///< best first: INCI name, ingredient, trade name
  Place place;
  std::optional<double> percent;
  std::optional<double> grams;
  bool fills = false;
  std::optional<double> fill_to_grams;  ///< "ad 500 g"
  Place amount_place;
  std::string phase;
  std::string note;
  std::optional<double> strength_percent;
  std::optional<double> ph_low;
  std::optional<double> ph_high;
  std::optional<double> ph_at_percent;
  Place ph_place;
};

struct Draft : Findings {
  std::string name;
  std::string product_type;
  std::string use;
  std::optional<double> batch_g;
  std::vector<DraftLine> lines;
};

/// The mass in grams that a head line states; a fault where it states none.
std::optional<double> mass_property(const std::string& key, const std::string& value,
                                    const Place& place, Findings& findings);

/// Sets name, batch, use or type from text, "batch" and "500 g"; false where the key is no such.
bool set_property(Draft& draft, const std::string& key, const std::string& value,
                  const Place& place);

/// Reads a sheet of cells; faults are collected in the draft.
void read_sheet(std::string_view text, Draft& draft);

/// Reads a JSON object; faults are collected in the draft.
void read_json(std::string_view text, Draft& draft);

/// Looks names up, turns grams into percent, fills up to 100; throws BadInput with every fault.
Formula settle(Draft draft, const Tables& tables, const ReadOptions& options);

}  // namespace counterion::formula
