// SPDX-License-Identifier: MIT
// A program that asks the built-in tables for one name: how much of its time is their loading?
#include <counterion/tables/tables.hpp>

int main() {
  return counterion::Tables::built_in().find("niacinamide") == nullptr;
}
