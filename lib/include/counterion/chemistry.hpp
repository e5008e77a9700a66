// SPDX-License-Identifier: MIT
// Everything of the chemistry floor that answers questions: solutions, doses, curves, many variants.
#pragma once

#include <counterion/chemistry/quasi_random.hpp>
#include <counterion/chemistry/solution.hpp>
#include <counterion/chemistry/variants.hpp>
