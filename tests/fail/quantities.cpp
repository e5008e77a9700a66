// SPDX-License-Identifier: MIT
// Each switch turns one right line into a wrong one that must not compile; without any, all
// compile.
#include <counterion/quantities.hpp>

using namespace counterion;

double reading_of(pH reading) {
  return reading.value();
}
Molality half_of(Molality molality) {
  return molality / 2.0;
}

void quantities() {
  const Mass mass = grams(1);
  const Molality molality = mol_per_kg(0.1);
  [[maybe_unused]] const AmountOfSubstance amount = mass * molality;
#ifdef A_MASS_IS_NO_MOLALITY
  [[maybe_unused]] const auto sum = mass + molality;
#else
  [[maybe_unused]] const auto sum = mass + mass;
#endif
#ifdef A_NUMBER_IS_NO_MASS
  [[maybe_unused]] const Mass heavy = 2.0;
#else
  [[maybe_unused]] const Mass heavy = grams(2.0);
#endif
#ifdef A_NUMBER_IS_NO_MOLALITY
  half_of(0.1);
#else
  half_of(mol_per_kg(0.1));
#endif
#ifdef A_MASS_PASSED_AS_MOLALITY
  half_of(mass);
#else
  half_of(molality);
#endif
#ifdef A_NUMBER_IS_NO_TEMPERATURE
  [[maybe_unused]] const Temperature warm = 25.0;
#else
  [[maybe_unused]] const Temperature warm = celsius(25.0);
#endif
#ifdef TEMPERATURES_DO_NOT_ADD_UP
  [[maybe_unused]] const auto hot = warm + warm;
#else
  [[maybe_unused]] const auto hot = warm - warm;
#endif
}

void readings() {
#ifdef A_NUMBER_IS_NO_PH
  reading_of(5.5);
#else
  reading_of(pH(5.5));
#endif
#ifdef A_PH_IS_NO_NUMBER
  [[maybe_unused]] const double number = pH(5.5);
#else
  [[maybe_unused]] const double number = pH(5.5).value();
#endif
#ifdef A_PH_IS_NO_MOLALITY
  half_of(pH(5.5));
#else
  half_of(mol_per_kg(5.5));
#endif
#ifdef PH_VALUES_DO_NOT_ADD_UP
  [[maybe_unused]] const auto sum = pH(4) + pH(5);
#else
  [[maybe_unused]] const auto sum = pH(4) < pH(5);
#endif
}
