// SPDX-License-Identifier: MIT
// A stranger's program: checks a formula and prints its window.
#include <counterion/answer/check.hpp>
#include <counterion/formula/read.hpp>

#include <iostream>

int main() {
  const auto formula = counterion::read_formula(
      "ingredient,percent\nwater,q.s.\nlactic acid,1\nsodium benzoate,0.4\n", "lotion",
      counterion::Tables::built_in());
  const auto window = counterion::check(formula).window;
  std::cout << "window " << window.low << " to " << window.high << '\n';
  return window.feasible && window.low < window.high ? 0 : 1;
}
