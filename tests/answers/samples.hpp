// SPDX-License-Identifier: MIT
#pragma once

#include <counterion/answer/check.hpp>

#include <string>
#include <utility>
#include <vector>

namespace samples {

inline const std::vector<std::string> names = {"brightening-serum", "hand-gel", "hand-wash",
                                               "heel-cream"};

/// A formula of cli/samples.
counterion::Formula sample(const std::string& name);

/// The parts of a text between marks, without the blanks around them.
std::vector<std::string> split(const std::string& text, char mark);

/// "urea 5; glycerin 3" as ids and percents.
std::vector<std::pair<std::string, double>> items_of(const std::string& text);

/// A formula of ids and percents; what is missing to 100 is water.
counterion::Formula formula_of(const std::vector<std::pair<std::string, double>>& items,
                               const std::string& type = "face", const std::string& use = "leave-on");

/// Predicts a formula of ids and percents.
counterion::Prediction predicted(const std::vector<std::pair<std::string, double>>& items);

/// The line of a formula that holds this ingredient.
std::size_t line_of(const counterion::Formula& formula, const std::string& ingredient);

}  // namespace samples
