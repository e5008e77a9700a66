// SPDX-License-Identifier: MIT
// Why a batch reads what it reads: causes by their probability, and the check that tells them apart.
#pragma once

#include <counterion/reading/measurement.hpp>
