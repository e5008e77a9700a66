// SPDX-License-Identifier: MIT
// A program of its own, so that nobody has asked for a table before the threads do.
#include <counterion/tables/tables.hpp>

#include <doctest/doctest.h>

#include <thread>
#include <vector>

using counterion::Tables;

TEST_CASE("many threads may be the first to ask for a table") {
  std::vector<std::thread> threads;
  std::vector<std::size_t> found(8);
  for (std::size_t i = 0; i < found.size(); ++i)
    threads.emplace_back([&found, i] {
      const auto& tables = Tables::built_in();
      found[i] = tables.ranges_of("niacinamide").size() + tables.levels_of("niacinamide").size() +
                 tables.meanings("vitamin B3").size() + tables.cautions().size();
    });
  for (auto& thread : threads) thread.join();
  CHECK(found[0] > 0);
  for (const auto count : found) CHECK(count == found[0]);
}
