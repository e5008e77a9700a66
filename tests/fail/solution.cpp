// SPDX-License-Identifier: MIT
// Each switch turns one right line into a wrong one that must not compile; without any, all
// compile.
#include <counterion/chemistry/solution.hpp>

using namespace counterion;

void solutions(const Protolyte& acid) {
#ifdef AN_AMOUNT_NEEDS_ITS_UNIT
  [[maybe_unused]] const Amount amount{acid, 0.1};
#else
  [[maybe_unused]] const Amount amount{acid, mol_per_kg(0.1)};
#endif
  const Solution solution({&amount, 1});
#ifdef A_TARGET_IS_A_PH
  solution.strong_charge_for(7.0);
#else
  solution.strong_charge_for(pH(7.0));
#endif
}
