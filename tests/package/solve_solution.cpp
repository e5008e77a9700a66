// SPDX-License-Identifier: MIT
// A stranger's program: the chemistry alone. Half of an acid of pK 4.2 is neutralised, so the pH would be
// 4.2, were it not for the salt, which lowers it by a few hundredths.
#include <counterion/chemistry/solution.hpp>

#include <iostream>
#include <vector>

int main() {
  using namespace counterion;
  const Protolyte acid(0, {{.pK = 4.2}}, "some acid");
  const std::vector<Amount> amounts = {{acid, mol_per_kg(0.02)}};
  const Solution solution(amounts, {}, mol_per_kg(0.01));
  const double ph = solution.ph().value();
  std::cout << "pH " << ph << '\n';
  return 4.1 < ph && ph < 4.2 ? 0 : 1;
}
