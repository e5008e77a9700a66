// SPDX-License-Identifier: MIT
#include <counterion/chemistry/bracketed_root.hpp>

#include <boost/math/tools/toms748_solve.hpp>

namespace counterion::chemistry {

double root_between(RealFunction f, double low, double high) {
  const double f_low = f(low), f_high = f(high);
  if (f_low == 0) return low;
  if (f_high == 0) return high;
  boost::uintmax_t most = 200;
  const auto [a, b] = boost::math::tools::toms748_solve(
      f, low, high, f_low, f_high, boost::math::tools::eps_tolerance<double>(52), most);
  return 0.5 * (a + b);
}

}  // namespace counterion::chemistry
