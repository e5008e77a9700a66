// SPDX-License-Identifier: MIT
#include "packer.hpp"

#include "each_field.hpp"
#include "packed.hpp"

#include <counterion/error.hpp>

#include <bit>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <iterator>
#include <limits>
#include <unordered_map>

namespace counterion::tables {
namespace {

// A literal may be 65535 bytes long once its parts are joined, a part 16380 (MSVC).
constexpr std::size_t piece_bytes = 60000;
constexpr std::size_t line_bytes = 100;

/// Collects texts and numbers, each once, and the cells that point to them.
class Packer {
 public:
  template <class Field>
  void operator()(const Field& field) {
    if constexpr (std::is_same_v<Field, std::string_view>)
      cells_.push_back(position_of(field));
    else if constexpr (std::is_same_v<Field, double>)
      cells_.push_back(position_of(field));
    else if constexpr (std::is_same_v<Field, std::optional<double>>)
      cells_.push_back(field ? position_of(*field) + 1 : 0);
    else
      cells_.push_back(static_cast<std::uint32_t>(field));
  }

  template <class Row>
  void add(const std::vector<Row>& rows) {
    counts_.push_back(static_cast<std::uint32_t>(rows.size()));
    for (const auto& row : rows) each_field(row, *this);
  }

  std::string source(const PackedVersions& versions) const;

 private:
  std::uint32_t position_of(std::string_view text) {
    const auto [known, is_new] =
        text_positions_.emplace(text, static_cast<std::uint32_t>(texts_.size()));
    if (is_new) texts_.push_back(place_for(text));
    return known->second;
  }
  std::uint32_t position_of(double number) {
    const auto bits = std::bit_cast<std::uint64_t>(number);
    const auto [known, is_new] =
        number_positions_.emplace(bits, static_cast<std::uint32_t>(numbers_.size()));
    if (is_new) numbers_.push_back(number);
    return known->second;
  }
  PackedText place_for(std::string_view text) {
    if (text.size() > piece_bytes) throw Error("a text of more than 60000 bytes");
    if (pieces_.empty() || pieces_.back().size() + text.size() > piece_bytes)
      pieces_.emplace_back();
    auto& piece = pieces_.back();
    const PackedText place{static_cast<std::uint16_t>(pieces_.size() - 1),
                           static_cast<std::uint16_t>(piece.size()),
                           static_cast<std::uint16_t>(text.size())};
    piece += text;
    return place;
  }

  std::vector<std::string> pieces_;
  std::vector<PackedText> texts_;
  std::vector<double> numbers_;
  std::vector<std::uint32_t> counts_, cells_;
  std::unordered_map<std::string, std::uint32_t> text_positions_;
  std::unordered_map<std::uint64_t, std::uint32_t> number_positions_;
};

/// A literal that every compiler reads alike, whatever it takes source files to be encoded in.
std::string literal(std::string_view text) {
  std::string source;
  for (std::size_t begin = 0; begin < text.size() || begin == 0; begin += line_bytes) {
    source += source.empty() ? "\"" : "\n    \"";
    for (const char c : text.substr(begin, line_bytes)) {
      const bool plain = c >= ' ' && c <= '~' && c != '"' && c != '\\' && c != '?';
      if (plain)
        source += c;
      else
        fmt::format_to(std::back_inserter(source), "\\{:03o}", static_cast<unsigned char>(c));
    }
    source += '"';
    if (text.empty()) break;
  }
  return source;
}

template <class Values, class Show>
std::string array(std::string_view type, std::string_view name, const Values& values, Show show) {
  auto source = fmt::format("constexpr {} {}[] = {{", type, name);
  std::size_t n = 0;
  for (const auto& value : values) {
    source += n++ % 16 == 0 ? "\n  " : " ";
    source += show(value) + ",";
  }
  return source + "};\n\n";
}

std::string Packer::source(const PackedVersions& versions) const {
  const auto whole = [](std::uint32_t value) { return std::to_string(value); };
  std::string source =
      "// Written by the build from reference-tables; edit those.\n"
      "#include \"packed.hpp\"\n\nnamespace counterion::tables {\nnamespace {\n\n";
  for (std::size_t i = 0; i < pieces_.size(); ++i)
    source += fmt::format("constexpr char piece_{}[] =\n    {};\n", i, literal(pieces_[i]));
  std::size_t piece = 0;
  source += array("std::string_view", "pieces", pieces_, [&](const std::string& text) {
    return fmt::format("{{piece_{}, {}}}", piece++, text.size());
  });
  source += array("PackedText", "texts", texts_, [](const PackedText& text) {
    return fmt::format("{{{}, {}, {}}}", text.piece, text.begin, text.length);
  });
  source +=
      array("double", "numbers", numbers_, [](double value) { return fmt::format("{}", value); });
  source += array("std::uint32_t", "row_counts", counts_, whole);
  source += array("std::uint32_t", "cells", cells_, whole);
  return source + fmt::format(
                      "constexpr PackedTables tables{{pieces, texts, numbers, row_counts, cells,\n"
                      "                              {}, {}, {}}};\n\n}}  // namespace\n\n"
                      "const PackedTables& packed_tables() noexcept {{ return tables; }}\n\n"
                      "}}  // namespace counterion::tables\n",
                      literal(versions.version), literal(versions.schema_version),
                      literal(versions.sha256));
}

}  // namespace

std::string packed_source(const Rows& rows, const PackedVersions& versions) {
  Packer packer;
  each_table(rows, [&](const auto& table) { packer.add(table); });
  return packer.source(versions);
}

}  // namespace counterion::tables
