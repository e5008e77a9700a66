// SPDX-License-Identifier: MIT
#include <counterion/error.hpp>
#include <counterion/text/utf8.hpp>

#include <doctest/doctest.h>

#include <string>

using namespace counterion;
using namespace counterion::text;
using namespace std::string_literals;

namespace {

Problem problem_of(const std::string& bytes) {
  try {
    decode(bytes, "f");
  } catch (const BadInput& error) {
    return error.problems().front();
  }
  return {};
}

}  // namespace

TEST_CASE("a byte-order mark is no part of the text") {
  CHECK(decode("\xEF\xBB\xBFWater", "f").text == "Water");
  CHECK(decode("\xEF\xBB\xBFWater", "f").encoding == Encoding::utf8);
}

TEST_CASE("UTF-16 is read in both byte orders, surrogate pairs too") {
  const auto little = decode(
      "\xFF\xFE"
      "e\0\xE9\0\x3D\xD8\x00\xDE"s,
      "f");
  CHECK(little.text == "e\xC3\xA9\xF0\x9F\x98\x80");
  CHECK(little.encoding == Encoding::utf16_little_endian);
  const auto big = decode("\xFE\xFF\0e\0\xE9\xD8\x3D\xDE\x00"s, "f");
  CHECK(big.text == little.text);
  CHECK(big.encoding == Encoding::utf16_big_endian);
}

TEST_CASE("half a surrogate pair becomes the replacement character") {
  CHECK(decode("\xFF\xFE\x3D\xD8"
               "a\0"s,
               "f")
            .text ==
        "\xEF\xBF\xBD"
        "a");
}

TEST_CASE("what is no UTF-8 is Windows-1252") {
  const auto decoded = decode("cr\xE8me 5 \x80", "f");
  CHECK(decoded.text == "cr\xC3\xA8me 5 \xE2\x82\xAC");
  CHECK(decoded.encoding == Encoding::windows_1252);
}

TEST_CASE("overlong, surrogate and cut sequences are no UTF-8") {
  CHECK(is_utf8("\xC3\xA9 \xE2\x82\xAC \xF0\x9F\x98\x80"));
  CHECK_FALSE(is_utf8("\xC0\x80"));
  CHECK_FALSE(is_utf8("\xE0\x80\x80"));
  CHECK_FALSE(is_utf8("\xED\xA0\x80"));
  CHECK_FALSE(is_utf8("\xF4\x90\x80\x80"));
  CHECK_FALSE(is_utf8("\xE2\x82"));
}

TEST_CASE("binary files are refused with the line and what to do") {
  CHECK(problem_of("a,b\nc\0d"s).place == Place{"f", 2, 0});
  CHECK(problem_of("a,b\nc\0d"s).found == "bytes that are no text");
  CHECK(problem_of("PK\x03\x04\x14\0\0"s).found == "a workbook or another packed file");
  CHECK(problem_of("%PDF-1.7\n\x01"s).found == "a PDF file");
  CHECK(problem_of("PK\x03\x04\x14\0\0"s).expected.find("CSV") != std::string::npos);
}

TEST_CASE("code points go out as they came in") {
  for (const char32_t point : {U'a', U'\u00E9', U'\u20AC', U'\U0001F600'}) {
    std::string text;
    append_code_point(text, point);
    std::string_view rest = text;
    CHECK(take_code_point(rest) == point);
    CHECK(rest.empty());
  }
}

TEST_CASE("blanks at both ends go, no-break spaces too") {
  CHECK(trim(" \t\xC2\xA0 a b\xE2\x80\xAF\r\n") == "a b");
  CHECK(trim("   ").empty());
}
