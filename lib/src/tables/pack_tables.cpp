// SPDX-License-Identifier: MIT
// The gate: checks reference-tables while the library is built and writes them as C++ source.
// Faults are told as compilers tell them, and the build stops.
#include "folder.hpp"
#include "packer.hpp"

#include <cstdio>
#include <exception>
#include <filesystem>
#include <fstream>

namespace {

using namespace counterion;

void say(const Problem& problem) {
  const auto& place = problem.place;
  Problem bare = problem;
  bare.place = {};
  std::fprintf(stderr, "%s:%zu:%zu: error: %s\n", place.file.c_str(), place.line, place.column,
               describe(bare).c_str());
}

void write(const std::filesystem::path& path, const std::string& source) {
  auto aside = path;
  aside += ".new";
  std::ofstream stream(aside, std::ios::binary);
  stream << source;
  stream.close();
  if (!stream) throw Error("cannot write " + aside.string());
  std::filesystem::rename(aside, path);
}

void pack(const char* tables, const char* output) {
  const auto folder = tables::read_folder(tables, "999");
  const auto texts = folder.texts();
  tables::TextStore store;
  const auto rows = tables::read_rows(texts, store);
  write(output, tables::packed_source(
                    rows, {folder.version, folder.schema_version, tables::sha256_of(texts)}));
}

}  // namespace

int main(int count, char** arguments) try {
  if (count != 3) return std::fputs("usage: counterion_pack_tables FOLDER OUTPUT\n", stderr), 2;
  pack(arguments[1], arguments[2]);
  return 0;
} catch (const BadInput& error) {
  for (const auto& problem : error.problems()) say(problem);
  return 1;
} catch (const std::exception& error) {
  std::fprintf(stderr, "counterion_pack_tables: %s\n", error.what());
  return 1;
}
