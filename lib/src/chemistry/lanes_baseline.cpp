// SPDX-License-Identifier: MIT
// For every processor of the kind that the library is compiled for.
#include "lane_kernel.hpp"

namespace counterion::chemistry {

LaneKernel baseline_lanes() {
  using Batch = xsimd::batch<double>;
  return {"baseline", Batch::size, solve_in_lanes<Batch>, titrate_in_lanes<Batch>};
}

}  // namespace counterion::chemistry
