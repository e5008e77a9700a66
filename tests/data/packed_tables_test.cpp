// SPDX-License-Identifier: MIT
// The tables in the library are those of reference-tables, and nobody changed them by accident.
#include <counterion/tables/tables.hpp>

#include <doctest/doctest.h>
#include <fmt/format.h>

#include "../../lib/src/tables/sha256.hpp"

using namespace counterion;

namespace {

const Tables& from_files() {
  static const auto tables = Tables::from_folder(COUNTERION_SOURCE_DIR "/reference-tables");
  return tables;
}

template <class Row>
bool equal(std::span<const Row> a, std::span<const Row> b) {
  return std::ranges::equal(a, b);
}

}  // namespace

TEST_CASE("what is packed is what the files say, row by row") {
  const auto& packed = Tables::built_in();
  const auto& read = from_files();
  CHECK(packed.sha256() == read.sha256());
  CHECK(packed.version() == read.version());
  CHECK(packed.row_counts() == read.row_counts());
  CHECK(equal(packed.ingredients(), read.ingredients()));
  CHECK(equal(packed.constants(), read.constants()));
  CHECK(equal(packed.cautions(), read.cautions()));
  CHECK(equal(packed.mishaps(), read.mishaps()));
  for (const auto& constant : read.constants()) {
    REQUIRE(packed.substance(constant.substance) != nullptr);
    CHECK(*packed.substance(constant.substance) == *read.substance(constant.substance));
    CHECK(*packed.source(constant.provenance.source) == *read.source(constant.provenance.source));
  }
  for (const std::string_view subject : {"product:any", "soap", "default", "unlisted", "air"}) {
    CHECK(equal(packed.ranges_of(subject), read.ranges_of(subject)));
    CHECK(equal(packed.levels_of(subject), read.levels_of(subject)));
  }
  for (const auto& ingredient : read.ingredients()) {
    CAPTURE(ingredient.id);
    CHECK(equal(packed.composition_of(ingredient.id), read.composition_of(ingredient.id)));
    CHECK(equal(packed.ranges_of(ingredient.id), read.ranges_of(ingredient.id)));
    CHECK(equal(packed.levels_of(ingredient.id), read.levels_of(ingredient.id)));
    CHECK(equal(packed.changes_of(ingredient.id), read.changes_of(ingredient.id)));
    CHECK(packed.names_of(ingredient.id) == read.names_of(ingredient.id));
    CHECK(packed.classes_of(ingredient.id) == read.classes_of(ingredient.id));
    CHECK(packed.display_name(ingredient.id) == read.display_name(ingredient.id));
  }
}

// FIPS 180-4's example messages, as NIST's "Examples with Intermediate Values" prints their digests
// (from memory; Python's hashlib gives the same in tests/python).
TEST_CASE("SHA-256 of the standard's example messages") {
  CHECK(tables::sha256("abc") ==
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  CHECK(tables::sha256("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  CHECK(tables::sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
}
