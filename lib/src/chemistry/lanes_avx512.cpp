// SPDX-License-Identifier: MIT
// Compiled for AVX-512F.
#include "lane_kernel.hpp"

namespace counterion::chemistry {

LaneKernel avx512_lanes() {
  using Batch = xsimd::batch<double, xsimd::avx512f>;
  return {"avx512", Batch::size, solve_in_lanes<Batch>, titrate_in_lanes<Batch>};
}

}  // namespace counterion::chemistry
