// SPDX-License-Identifier: MIT
#include "content.hpp"
#include "each_field.hpp"
#include "packed.hpp"

#include <type_traits>

namespace counterion {
namespace tables {
namespace {

/// Takes the packed cells one after the other.
class Unpacker {
 public:
  explicit Unpacker(const PackedTables& packed) : packed_(packed), cell_(packed.cells.data()) {}

  template <class Field>
  void operator()(Field& field) {
    const auto cell = *cell_++;
    if constexpr (std::is_same_v<Field, std::string_view>) field = text(cell);
    else if constexpr (std::is_same_v<Field, double>) field = packed_.numbers[cell];
    else if constexpr (std::is_same_v<Field, std::optional<double>>)
      field = cell == 0 ? std::nullopt : std::optional(packed_.numbers[cell - 1]);
    else field = static_cast<Field>(cell);
  }

  template <class Row>
  void take(std::vector<Row>& rows, std::uint32_t count) {
    rows.resize(count);
    for (auto& row : rows) each_field(row, *this);
  }

 private:
  std::string_view text(std::uint32_t at) const {
    const auto [piece, begin, length] = packed_.texts[at];
    return {packed_.pieces[piece].data() + begin, length};
  }

  const PackedTables& packed_;
  const std::uint32_t* cell_;
};

}  // namespace
}  // namespace tables

const Tables& Tables::built_in() {
  static const Tables tables = [] {
    const auto& packed = tables::packed_tables();
    auto content = std::make_shared<Content>();
    tables::Unpacker unpacker(packed);
    auto count = packed.row_counts.begin();
    tables::each_table(content->rows, [&](auto& rows) { unpacker.take(rows, *count++); });
    unpacker.take(content->index, *count);
    content->version = packed.version;
    content->sha256 = packed.sha256;
    return Tables(std::move(content));
  }();
  return tables;
}

std::string_view Tables::schema_version() const noexcept {
  return tables::packed_tables().schema_version;
}

}  // namespace counterion
