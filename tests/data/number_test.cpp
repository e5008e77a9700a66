// SPDX-License-Identifier: MIT
#include <counterion/text/number.hpp>

#include <doctest/doctest.h>

using namespace counterion::text;

namespace {

double value_of(std::string_view text, DecimalMarks seen = {}) {
  const auto reading = read_number(text, seen);
  CAPTURE(text);
  REQUIRE(reading.number);
  return reading.number->value;
}

constexpr DecimalMarks points{true, false};
constexpr DecimalMarks commas{false, true};

}  // namespace

TEST_CASE("decimal point and decimal comma are the same") {
  CHECK(value_of("1.5") == 1.5);
  CHECK(value_of("1,5") == 1.5);
  CHECK(value_of(" 12,50 % ") == 12.5);
  CHECK(value_of(",5") == 0.5);
  CHECK(value_of("5.") == 5);
  CHECK(value_of("-0,25") == -0.25);
  CHECK(value_of("+3") == 3);
  CHECK(value_of("\xE2\x88\x92"
                 "3") == -3);  // minus sign
}

TEST_CASE("grouped digits are one number") {
  CHECK(value_of("1 234,5") == 1234.5);
  CHECK(value_of("1\xC2\xA0"
                 "234,5") == 1234.5);
  CHECK(value_of("1.234,5") == 1234.5);
  CHECK(value_of("1,234.5") == 1234.5);
  CHECK(value_of("1'234.5") == 1234.5);
  CHECK(value_of("1.234.567") == 1234567);
  CHECK(value_of("1,234,567.25") == 1234567.25);
}

TEST_CASE("a lone mark before three digits is a decimal mark unless the file has the other one") {
  CHECK(value_of("1,234") == 1.234);
  CHECK(value_of("1.234") == 1.234);
  CHECK(value_of("1,234", commas) == 1.234);
  CHECK(value_of("1.234", points) == 1.234);
  CHECK_FALSE(read_number("1,234", points).number);
  CHECK_FALSE(read_number("1.234", commas).number);
  CHECK(read_number("1,234", points).fault.find("two ways") != std::string::npos);
  CHECK(value_of("0,125", points) == 0.125);
}

TEST_CASE("a text shows the decimal mark it uses only where there is no doubt") {
  CHECK(decimal_marks_of("0,5").comma);
  CHECK(decimal_marks_of("12.50 %").point);
  CHECK(decimal_marks_of("1.234,5").comma);
  CHECK_FALSE(decimal_marks_of("1.234,5").point);
  CHECK(decimal_marks_of("1,234,567").point);
  CHECK_FALSE(decimal_marks_of("1,234").comma);
  CHECK_FALSE(decimal_marks_of("12").point);
}

TEST_CASE("the unit stands behind the digits") {
  CHECK(read_number("0.5g").number->unit == "g");
  CHECK(read_number("2 %").number->unit == "%");
  CHECK(read_number("2 % W/W").number->unit == "%w/w");
  CHECK(read_number("1,2 kg").number->unit == "kg");
  CHECK(read_number("3").number->unit.empty());
}

TEST_CASE("the last written digit says how finely a number was written") {
  CHECK(read_number("2,50").number->last_digit == doctest::Approx(0.01));
  CHECK(read_number("3").number->last_digit == 1);
  CHECK(read_number("2e-3").number->last_digit == doctest::Approx(0.001));
}

TEST_CASE("powers of ten are numbers when they can be held") {
  CHECK(value_of("2e-3") == 0.002);
  CHECK(value_of("1.5E2") == 150);
  CHECK_FALSE(read_number("1e999").number);
  CHECK(read_number("1e999").fault.find("out of reach") != std::string::npos);
}

TEST_CASE("words, not-a-number, infinity and hexadecimal are no numbers") {
  for (const auto* text :
       {"", "abc", "nan", "inf", "-inf", "1.2.3,4", "12 50", "1,2,3", "--1", "."}) {
    CAPTURE(text);
    CHECK_FALSE(read_number(text).number);
  }
  CHECK(read_number("0x1F").number->unit == "x1f");
  CHECK_FALSE(read_plain_number("nan"));
  CHECK_FALSE(read_plain_number("inf"));
  CHECK_FALSE(read_plain_number("0x1F"));
  CHECK_FALSE(read_plain_number("1,5"));
  CHECK(read_plain_number("-1.5e-3") == -0.0015);
}

TEST_CASE("numbers are shown with the digits they need") {
  CHECK(format_number(80) == "80");
  CHECK(format_number(0.35) == "0.35");
  CHECK(format_number(99.99999) == "100");
  CHECK(format_number(-0.00001) == "0");
  CHECK(format_number(1.0 / 3, 2) == "0.33");
}
