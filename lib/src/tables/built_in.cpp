// SPDX-License-Identifier: MIT
#include "content.hpp"
#include "each_field.hpp"
#include "packed.hpp"

#include <type_traits>

namespace counterion {
namespace tables {
namespace {

/// Takes packed cells one after the other.
class Unpacker {
 public:
  explicit Unpacker(const PackedTables& packed, std::size_t first)
      : packed_(packed), cell_(packed.cells.data() + first) {}

  template <class Field>
  void operator()(Field& field) {
    const auto cell = *cell_++;
    if constexpr (std::is_same_v<Field, std::string_view>)
      field = text(cell);
    else if constexpr (std::is_same_v<Field, double>)
      field = packed_.numbers[cell];
    else if constexpr (std::is_same_v<Field, std::optional<double>>)
      field = cell == 0 ? std::nullopt : std::optional(packed_.numbers[cell - 1]);
    else
      field = static_cast<Field>(cell);
  }

 private:
  std::string_view text(std::uint32_t at) const {
    const auto [piece, begin, length] = packed_.texts[at];
    return {packed_.pieces[piece].data() + begin, length};
  }

  const PackedTables& packed_;
  const std::uint32_t* cell_;
};

/// Unpacks one table of the rows.
void unpack(Rows& rows, std::size_t wanted) {
  const auto& packed = packed_tables();
  std::size_t table = 0, first = 0;
  each_table(rows, [&]<class Row>(std::vector<Row>& into) {
    const auto count = packed.row_counts[table];
    if (table++ == wanted) {
      into.resize(count);
      Unpacker unpacker(packed, first);
      for (auto& row : into) each_field(row, unpacker);
    }
    first += count * field_count<Row>();
  });
}

}  // namespace
}  // namespace tables

const Tables& Tables::built_in() {
  static const Tables tables = [] {
    const auto& packed = tables::packed_tables();
    return Tables(std::make_shared<Content>(
        nullptr, tables::TextStore(), tables::LazyRows::Unpack(tables::unpack),
        std::string(packed.version), std::string(packed.sha256)));
  }();
  return tables;
}

std::string_view Tables::schema_version() const noexcept {
  return tables::packed_tables().schema_version;
}

}  // namespace counterion
