// SPDX-License-Identifier: MIT
// A user's own tables laid over others.
#pragma once

#include "content.hpp"
#include "table_texts.hpp"

namespace counterion::tables {

/// Puts under the tables that were read those rows of `beneath` whose fact they do not state, takes
/// away what they withdraw, and says what of it makes no sense.
void lay_over(TableTexts& all, const Rows& beneath, std::vector<Problem>& problems);

}  // namespace counterion::tables
