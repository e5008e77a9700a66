// SPDX-License-Identifier: MIT
#include "folder.hpp"

#include "sha256.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <fmt/format.h>
#include <fstream>
#include <iterator>
#include <system_error>

namespace counterion::tables {
namespace {

namespace fs = std::filesystem;

constexpr std::uintmax_t most_bytes = 64 * 1024 * 1024;

[[noreturn]] void refuse(const fs::path& path, std::string found, std::string expected) {
  throw BadInput({{{path.string(), 0, 0}, std::move(found), std::move(expected), {}}});
}

std::string text_of(const fs::path& path) {
  std::error_code error;
  if (!fs::is_regular_file(path, error)) refuse(path, "no regular file", "a CSV file");
  if (fs::file_size(path, error) > most_bytes)
    refuse(path, "more than 64 MB", "a table of at most 64 MB");
  std::ifstream stream(path, std::ios::binary);
  std::string text{std::istreambuf_iterator<char>(stream), {}};
  if (!stream.is_open() || stream.bad())
    refuse(path, "a file that cannot be read", "a file that you may read");
  return text;
}

std::string member(const nlohmann::json& package, const char* key, const fs::path& path) {
  const auto found = package.find(key);
  if (found == package.end()) return {};
  if (!found->is_string())
    refuse(path, fmt::format("{} as {}", key, found->dump()), "a text such as \"1.1\"");
  return found->get<std::string>();
}

int major_of(std::string_view version) {
  int number = 0;
  for (const char c : version.substr(0, version.find('.')))
    number = c >= '0' && c <= '9' && number < 100000 ? number * 10 + (c - '0') : number;
  return number;
}

void read_package(const fs::path& path, std::string_view known, Folder& folder) {
  const auto package = nlohmann::json::parse(text_of(path), nullptr, false);
  if (!package.is_object()) refuse(path, "no JSON object", "a datapackage.json");
  folder.version = member(package, "version", path);
  folder.schema_version = member(package, "schema_version", path);
  if (major_of(folder.schema_version) > major_of(known)) {
    refuse(path, fmt::format("schema_version {}", folder.schema_version),
           fmt::format("{} or another {}.x, which this version reads", known, major_of(known)));
  }
}

/// "ranges.csv", "RANGES.CSV", but no hidden file that an editor has left.
bool is_table(const fs::path& file) {
  std::string extension = file.extension().string();
  for (char& c : extension) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  return extension == ".csv" && !file.filename().string().starts_with('.');
}

}  // namespace

std::vector<Tables::NamedText> Folder::texts() const {
  std::vector<Tables::NamedText> texts;
  for (const auto& file : files) texts.push_back({file.name, file.path, file.text});
  return texts;
}

Folder read_folder(const fs::path& path, std::string_view known_schema_version) {
  const std::string expected = "a folder of tables such as ranges.csv";
  std::error_code error;
  const auto status = fs::status(path, error);
  if (path.empty() || status.type() == fs::file_type::not_found ||
      status.type() == fs::file_type::none)
    refuse(path, "there is no such folder", expected);
  if (!fs::is_directory(status)) refuse(path, "no folder", expected);
  Folder folder;
  fs::directory_iterator entry(path, error);
  for (; !error && entry != fs::directory_iterator(); entry.increment(error)) {
    const auto& file = entry->path();
    if (file.filename() == "datapackage.json") read_package(file, known_schema_version, folder);
    if (is_table(file))
      folder.files.push_back({file.stem().string(), file.string(), text_of(file)});
  }
  if (error) refuse(path, "a folder that cannot be read", "a folder that you may read");
  if (folder.files.empty()) refuse(path, "no table", expected);
  std::ranges::sort(folder.files, {}, &Folder::File::name);
  return folder;
}

std::string sha256_of(std::span<const Tables::NamedText> texts) {
  std::vector<std::string> parts;
  for (const auto& text : texts) parts.push_back(text.name + "\n" + std::string(text.text));
  std::ranges::sort(parts);
  std::string all;
  for (const auto& part : parts) all += part;
  return sha256(all);
}

}  // namespace counterion::tables
