// SPDX-License-Identifier: MIT
#include <counterion/reading/explain.hpp>
