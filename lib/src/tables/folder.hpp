// SPDX-License-Identifier: MIT
// A folder of tables on disk.
#pragma once

#include <counterion/error.hpp>
#include <counterion/tables/tables.hpp>

#include <filesystem>
#include <string>
#include <vector>

namespace counterion::tables {

/// The texts of a folder's CSV files, sorted by name, and what its datapackage.json says.
struct Folder {
  struct File {
    std::string name;  ///< "ranges"
    std::string path;
    std::string text;
  };
  std::vector<File> files;
  std::string version;         ///< empty where there is no datapackage.json
  std::string schema_version;  ///< the same

  std::vector<Tables::NamedText> texts() const;
};

/// Reads them; throws BadInput where it cannot or the shape is of a newer major version.
Folder read_folder(const std::filesystem::path& path, std::string_view known_schema_version);

/// SHA-256 over name, line feed and text of each table in the order of the names.
std::string sha256_of(std::span<const Tables::NamedText> texts);

}  // namespace counterion::tables
