// SPDX-License-Identifier: MIT
#include <counterion/formula/read.hpp>

#include "draft.hpp"
#include "source.hpp"

namespace counterion {
namespace {

constexpr formula::FileKind kind{"a CSV or JSON file", "a formula"};

bool is_json(std::string_view text) {
  const auto first = text.find_first_not_of(" \t\r\n");
  return first != std::string_view::npos && text[first] == '{';
}

}  // namespace

Formula read_formula(std::string_view text, const std::string& file, const Tables& tables,
                     const ReadOptions& options) {
  formula::Draft draft;
  draft.file = file;
  const auto decoded = formula::text_of(text, kind, draft);
  if (is_json(decoded)) {
    formula::read_json(decoded, draft);
  } else {
    formula::read_sheet(decoded, draft);
  }
  return formula::settle(std::move(draft), tables, options);
}

Formula read_formula_file(const std::filesystem::path& path, const Tables& tables,
                          const ReadOptions& options) {
  return read_formula(formula::bytes_of(path, kind), path.string(), tables, options);
}

}  // namespace counterion
