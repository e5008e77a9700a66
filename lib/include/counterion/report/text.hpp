// SPDX-License-Identifier: MIT
// The answer on one screen, for people.
#pragma once

#include <counterion/answer/check.hpp>

namespace counterion {

/// How text may look where it is shown.
struct TextStyle {
  int width = 80;       ///< columns, at least 40
  bool colour = false;  ///< ANSI colours
  bool utf8 = true;     ///< otherwise plain ASCII
  bool all = false;     ///< every note and full citations, however long that gets
};

/// The answer as text; computes nothing. Ends with a newline.
std::string text_report(const CheckResult& result, const TextStyle& style = {});

}  // namespace counterion
