// SPDX-License-Identifier: MIT
// Owns the texts that rows are views of.
#pragma once

#include <deque>
#include <string>
#include <string_view>
#include <utility>

namespace counterion::tables {

/// Texts that stay where they are as long as the store lives, moved or not.
class TextStore {
 public:
  std::string_view keep(std::string text) {
    return text.empty() ? std::string_view() : texts_.emplace_back(std::move(text));
  }

 private:
  std::deque<std::string> texts_;
};

}  // namespace counterion::tables
