// SPDX-License-Identifier: MIT
#include "../answers/samples.hpp"
#include "../table_rows.hpp"

#include <counterion/chemistry/nonnegative_least_squares.hpp>
#include <counterion/error.hpp>

#include <doctest/doctest.h>

#include <cmath>

using namespace counterion;

TEST_CASE("what would be negative stays at nothing") {
  const Columns A{{1, 0}, {0, 1}};
  const auto x = nonnegative_least_squares(A, {2, -3});
  CHECK(x[0] == doctest::Approx(2));
  CHECK(x[1] == 0);
  CHECK(nonnegative_least_squares(A, {2, -3}, {false, true})[1] == doctest::Approx(-3));
}

TEST_CASE("columns of another length and numbers that are none are refused, all at once") {
  try {
    nonnegative_least_squares({{1, 2}, {1}, {NAN, 0}}, {1, 2});
    FAIL("not refused");
  } catch (const BadInput& bad) {
    CHECK(bad.problems().size() == 2);
  }
}

namespace {

std::vector<double> numbers_of(const std::string& text) {
  std::vector<double> numbers;
  for (const auto& word : samples::split(text, ' ')) numbers.push_back(std::stod(word));
  return numbers;
}

}  // namespace

// data/make_nonnegative.py wrote the problems and the answers of a general library.
TEST_CASE("sixty problems come out as scipy has them") {
  int problems = 0;
  for (const auto& row : test::rows_of_file("dosing/data/nonnegative.csv")) {
    const auto count = static_cast<std::size_t>(row.number("rows"));
    const auto flat = numbers_of(row.text("A_by_columns")), x = numbers_of(row.text("x"));
    Columns A;
    for (std::size_t j = 0; j < x.size(); ++j)
      A.emplace_back(flat.begin() + static_cast<std::ptrdiff_t>(j * count),
                     flat.begin() + static_cast<std::ptrdiff_t>((j + 1) * count));
    const auto found = nonnegative_least_squares(A, numbers_of(row.text("b")));
    for (std::size_t j = 0; j < x.size(); ++j) CHECK(std::abs(found[j] - x[j]) < 1e-9);
    ++problems;
  }
  CHECK(problems == 60);
}
