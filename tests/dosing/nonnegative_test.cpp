// SPDX-License-Identifier: MIT
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
