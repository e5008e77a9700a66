// SPDX-License-Identifier: MIT
#include "source.hpp"

#include <counterion/text/utf8.hpp>

#include <fmt/format.h>
#include <fstream>
#include <iterator>
#include <system_error>

namespace counterion::formula {
namespace {

constexpr std::size_t most_bytes = 10 * 1024 * 1024;

[[noreturn]] void refuse(const std::string& file, std::string found, std::string expected) {
  std::vector<Problem> problems;
  add_problem(problems, {file, 0, 0}, std::move(found), std::move(expected));
  throw BadInput(std::move(problems));
}

[[noreturn]] void refuse_size(const std::string& file, const FileKind& kind) {
  refuse(file, "more than 10 MB", fmt::format("{} of at most 10 MB", kind.one));
}

void check_file(const std::filesystem::path& path, const FileKind& kind) {
  namespace fs = std::filesystem;
  std::error_code error;
  const auto status = fs::status(path, error);
  const auto file = path.string();
  const std::string expected(kind.files);
  if (status.type() == fs::file_type::not_found) refuse(file, "there is no such file", expected);
  if (fs::is_directory(status)) refuse(file, "a folder", expected);
  if (!fs::is_regular_file(status)) refuse(file, "no regular file", expected);
  const auto size = fs::file_size(path, error);
  if (!error && size > most_bytes) refuse_size(file, kind);
}

}  // namespace

std::string bytes_of(const std::filesystem::path& path, const FileKind& kind) {
  check_file(path, kind);
  std::ifstream stream(path, std::ios::binary);
  std::string bytes{std::istreambuf_iterator<char>(stream), {}};
  if (!stream.is_open() || stream.bad()) {
    refuse(path.string(), "a file that cannot be read", "a file that you may read");
  }
  return bytes;
}

std::string text_of(std::string_view bytes, const FileKind& kind, Findings& findings) {
  if (bytes.size() > most_bytes) refuse_size(findings.file, kind);
  auto decoded = text::decode(bytes, findings.file);
  if (decoded.encoding == text::Encoding::windows_1252) {
    findings.say({findings.file, 0, 0}, "the text is not UTF-8 and was read as Windows-1252");
  }
  return std::move(decoded.text);
}

}  // namespace counterion::formula
