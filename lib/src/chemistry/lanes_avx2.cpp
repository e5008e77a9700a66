// SPDX-License-Identifier: MIT
// Compiled for AVX2 and FMA.
#include "lane_kernel.hpp"

namespace counterion::chemistry {

LaneKernel avx2_lanes() {
  using Batch = xsimd::batch<double, xsimd::fma3<xsimd::avx2>>;
  return {"avx2", Batch::size, solve_in_lanes<Batch>, titrate_in_lanes<Batch>};
}

}  // namespace counterion::chemistry
