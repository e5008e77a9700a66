// SPDX-License-Identifier: MIT
// Many variants of one mixture as the kernels see them: columns of numbers, one value a variant. The kernels
// are compiled for one instruction set each and share no other code with the rest of the library.
#pragma once

#include <counterion/chemistry/amount_step.hpp>

#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <span>
#include <string_view>
#include <vector>

namespace counterion {
class Solution;
class Variants;
struct TitrationPoint;
enum class Status : std::uint8_t;
}  // namespace counterion

namespace counterion::chemistry {

struct Addition;
struct ModelChoice;

/// One number for each variant, or one for all.
struct Column {
  double same = 0;
  const double* values = nullptr;  ///< where there is more than one

  double at(std::size_t variant) const { return values == nullptr ? same : values[variant]; }
};

/// An acidity constant; where it varies, the column has pK, and `same_pK` is that of `same`.
struct ConstantColumn {
  double same = 0;
  const double* pK = nullptr;
  double same_pK = 0;
};

struct LaneLadder {
  int first = 0;  ///< charge of the fully protonated form
  Column molality;
  NeutralForm neutral;
  std::vector<ConstantColumn> K;
};

struct LanePolymer {
  AcidPolymer polymer;
  Column molality, pK0;
};

struct LaneIon {
  int charge = 0;
  Column molality;
};

/// One structure; what differs among its variants are its columns.
struct LaneProblem {
  std::vector<LaneLadder> ladders;
  std::vector<LanePolymer> polymers;
  std::vector<LaneIon> ions;
  Column strong_charge;
  Water water;
  bool ideal = false;
  double davies_held_beyond = 0;
  double start_h = 1e-7, start_u = 0.1;
  int least_charge = 0, largest_charge = 0;
  bool is_plain = true;  ///< no neutral form has a limit
};

/// How a variant ended in its lane.
enum class LaneEnd : std::uint8_t {
  solved,
  bad_input,  ///< a number that is none, or out of range
  careful,    ///< its powers leave the range of doubles, or it has not settled
};

/// Where a kernel writes; each pointer is to the first of its variants.
struct LaneResults {
  double* ph = nullptr;
  double* ionic_strength = nullptr;  ///< none where it is not asked for
  LaneEnd* end = nullptr;
};

/// A mixture and one unit of what is added to it; the columns of both are the same for all.
struct LaneTitration {
  LaneProblem base, more;
  Dilution dilution;
  double start_ph = 7;
  Amounting<double> start;  ///< at that pH
};

/// What one instruction set can do; always for `width` or more at once.
struct LaneKernel {
  std::string_view name;
  std::size_t width;
  /// Solves `count` variants from `first` on.
  void (*solve)(const LaneProblem&, std::size_t first, std::size_t count, LaneResults);
  /// The amounts that hold each pH, whether they can be added or not; no number where none was found.
  void (*titrate)(const LaneTitration&, const double* ph, std::size_t count, double* amounts);
};

/// `solve_many` by this kernel; by the solver of single solutions where there is none.
void solve_many_with(const LaneKernel* kernel, const Variants& variants, std::span<double> ph,
                     std::span<double> ionic_strength, std::span<Status> status);

/// A titration curve by this kernel; by Newton's way one after the other where there is none.
std::vector<TitrationPoint> titrate_with(const LaneKernel* kernel, const Solution& solution,
                                         const Addition& addition, std::span<const double> ph, double most);

/// A mixture as columns of one number each.
LaneProblem lane_problem(const Mixture& mixture, const ModelChoice& choice);

/// Whether kernels know this model and have powers for all charges of these mixtures.
bool are_fit_for_lanes(const ModelChoice& choice, std::initializer_list<const Mixture*> mixtures);

/// Kernels that were compiled in and that this processor can run, the fastest first.
std::vector<LaneKernel> lane_kernels();

/// The first of them, if there is one.
const LaneKernel* fastest_kernel();

LaneKernel baseline_lanes();
LaneKernel avx2_lanes();
LaneKernel avx512_lanes();

}  // namespace counterion::chemistry
