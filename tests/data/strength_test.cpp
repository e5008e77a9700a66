// SPDX-License-Identifier: MIT
#include <counterion/text/strength.hpp>
#include <counterion/text/utf8.hpp>

#include <doctest/doctest.h>

using namespace counterion;

TEST_CASE("a strength is taken off a name wherever it stands, with the words for a solution") {
  for (const auto* name : {"Lactic acid 80 %", "lactic acid, 80% solution", "80 % Lactic acid",
                           "Lactic acid (80 % w/w)", "80%ige Lactic acid", "Lactic acid 80,0 % in water"}) {
    CAPTURE(name);
    const auto strength = text::split_strength(name);
    REQUIRE(strength);
    CHECK(strength->percent == 80);
    const auto base = text::trim(strength->base);
    CHECK((base == "Lactic acid" || base == "lactic acid"));
  }
}

TEST_CASE("a name without percent states no strength") {
  for (const auto* name : {"Polysorbate 20", "", "%", "NaOH 0.1 M", "Lactic acid %"}) {
    CAPTURE(name);
    CHECK_FALSE(text::split_strength(name));
  }
}
