// SPDX-License-Identifier: MIT
#include <counterion/reading/measurement.hpp>

#include <doctest/doctest.h>

TEST_CASE("measurement has its tests to come" * doctest::skip()) {}
