// SPDX-License-Identifier: MIT
#include <counterion/formula/read.hpp>

#include "draft.hpp"

#include <counterion/text/utf8.hpp>

#include <fstream>
#include <iterator>
#include <system_error>

namespace counterion {
namespace {

constexpr std::size_t most_bytes = 10 * 1024 * 1024;

[[noreturn]] void refuse(const std::string& file, std::string found, std::string expected) {
  std::vector<Problem> problems;
  add_problem(problems, {file, 0, 0}, std::move(found), std::move(expected));
  throw BadInput(std::move(problems));
}

void check_file(const std::filesystem::path& path) {
  namespace fs = std::filesystem;
  std::error_code error;
  const auto status = fs::status(path, error);
  const auto file = path.string();
  const std::string expected = "a CSV or JSON file";
  if (status.type() == fs::file_type::not_found) refuse(file, "there is no such file", expected);
  if (fs::is_directory(status)) refuse(file, "a folder", expected);
  if (!fs::is_regular_file(status)) refuse(file, "no regular file", expected);
  const auto size = fs::file_size(path, error);
  if (!error && size > most_bytes) refuse(file, "more than 10 MB", "a formula of at most 10 MB");
}

bool is_json(std::string_view text) {
  const auto first = text.find_first_not_of(" \t\r\n");
  return first != std::string_view::npos && text[first] == '{';
}

}  // namespace

Formula read_formula(std::string_view text, const std::string& file, const Tables& tables,
                     const ReadOptions& options) {
  if (text.size() > most_bytes) refuse(file, "more than 10 MB", "a formula of at most 10 MB");
  const auto decoded = text::decode(text, file);
  formula::Draft draft;
  draft.file = file;
  if (decoded.encoding == text::Encoding::windows_1252) {
    draft.say({file, 0, 0}, "the text is not UTF-8 and was read as Windows-1252");
  }
  if (is_json(decoded.text)) {
    formula::read_json(decoded.text, draft);
  } else {
    formula::read_sheet(decoded.text, draft);
  }
  return formula::settle(std::move(draft), tables, options);
}

Formula read_formula_file(const std::filesystem::path& path, const Tables& tables,
                          const ReadOptions& options) {
  check_file(path);
  std::ifstream stream(path, std::ios::binary);
  const std::string text{std::istreambuf_iterator<char>(stream), {}};
  if (!stream.is_open() || stream.bad()) {
    refuse(path.string(), "a file that cannot be read", "a file that you may read");
  }
  return read_formula(text, path.string(), tables, options);
}

}  // namespace counterion
