// SPDX-License-Identifier: MIT
// All of the chemistry floor: solutions, doses and curves, derivatives, many variants at once.
#pragma once

#include <counterion/chemistry/derivatives.hpp>
#include <counterion/chemistry/quasi_random.hpp>
#include <counterion/chemistry/solution.hpp>
#include <counterion/chemistry/variants.hpp>
