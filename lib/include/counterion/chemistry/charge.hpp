// SPDX-License-Identifier: MIT
// Mean charge of a ladder and how it moves with pH and ionic strength, in one pass over its forms; here for
// any activity model and any number of charges.
#pragma once

#include <counterion/chemistry/mean_charge.hpp>
#include <counterion/chemistry/mixture.hpp>
#include <counterion/chemistry/number.hpp>

namespace counterion::chemistry {

/// Running sums of a ladder's weights; the newest form has weight `w`, none is above it by overflow.
struct LadderSums {
  double w = 1, one = 0, z2 = 0, z3 = 0, g = 0, z2g = 0;
  double up = 0, up_z = 0, up_g = 0, down = 0, down_z = 0, down_g = 0;
  double neutral = 0;

  /// `neutral_weight` counts the neutral form as often as it is there, in the water and elsewhere.
  void take(int charge, double slope, double neutral_weight) {
    const double z = charge, wz = w * z;
    if (charge == 0) {
      one += w * neutral_weight;
      neutral = w;
      return;
    }
    one += w;
    z2 += wz * z;
    z3 += wz * z * z;
    g += w * slope;
    z2g += wz * z * slope;
    if (charge > 0)
      up += wz, up_z += wz * z, up_g += wz * slope;
    else
      down -= wz, down_z -= wz * z, down_g -= wz * slope;
  }
  /// Goes to the next form, `ratio` times as frequent; the sums shrink where the weight would grow.
  void step(double ratio) {
    if (ratio <= 1) {
      w *= ratio;
      return;
    }
    for (double* sum : {&one, &z2, &z3, &g, &z2g, &up, &up_z, &up_g, &down, &down_z, &down_g, &neutral})
      *sum /= ratio;
  }
  MeanCharge averages() const {
    const double f = 1 / one, u = up * f, d = down * f, z = u - d, zz = z2 * f, gg = g * f;
    const double u_x = up_z * f - u * z, d_x = down_z * f - d * z;
    const double u_u = u * gg - up_g * f, d_u = d * gg - down_g * f;
    return {z, u_x - d_x, u_u - d_u, u,  u_x,              u_u,
            d, d_x,       d_u,       zz, z3 * f - zz * z, zz * gg - z2g * f,
            gg, neutral * f};
  }
};

/// Mean charge at hydrogen-ion activity h; `gamma` is an activity policy evaluated at u.
template <class Policy>
MeanCharge mean_charge(const Ladder& ladder, double h, const Policy& gamma, double neutral_weight = 1) {
  LadderSums sums;
  int charge = ladder.charge;
  sums.take(charge, gamma.slope(charge, ladder.ion_size[0]), neutral_weight);
  for (std::size_t j = 0; j < ladder.K.size(); ++j, --charge) {
    sums.step(ladder.K[j] / h * gamma.step(charge, ladder.ion_size[j], ladder.ion_size[j + 1]));
    sums.take(charge - 1, gamma.slope(charge - 1, ladder.ion_size[j + 1]), neutral_weight);
  }
  return sums.averages();
}

/// A part's averages and the molality that takes part, which crystals, pairs in oil or a gas decide.
/// The slopes of the averages then carry those of the molality.
template <class Number>
struct ContributionOf {
  Number molality{};
  MeanChargeOf<Number> mean;
  Number free_neutral{};   ///< mol/kg of the neutral form free in the water
  Number by_total = Number(1);  ///< d molality / d total
  Number follows{};        ///< d ln molality / d ln (1/share of the neutral form)
};
using Contribution = ContributionOf<double>;

/// The averages' slopes where the molality itself follows 1/(share of the neutral form) to the power
/// `follows`: ln of that rises by z̄ with x and falls by the mean slope with u.
template <class Number>
void carry(MeanChargeOf<Number>& mean, const Number& follows) {
  const Number by_x = follows * mean.z, by_u = -follows * mean.slope;
  mean.z_by_x += by_x * mean.z, mean.z_by_u += by_u * mean.z;
  mean.up_by_x += by_x * mean.up, mean.up_by_u += by_u * mean.up;
  mean.down_by_x += by_x * mean.down, mean.down_by_u += by_u * mean.down;
  mean.z2_by_x += by_x * mean.z2, mean.z2_by_u += by_u * mean.z2;
}

/// What bounds a neutral form: pairs in oil (kg/mol), the most that the water holds (mol/kg), for good or not.
template <class Number>
struct NeutralLimit {
  Number paired, solubility;
  bool held;
};

/// `c` free and neutral answers paired c² + c/share = molality; never more than the solubility.
template <class Number>
void limit(ContributionOf<Number>& part, const NeutralLimit<Number>& neutral) {
  const Number in_all = 1 / most_of(part.mean.neutral, Number(1e-290));  // moles for one free and neutral
  const Number root = hypot(in_all, 2 * sqrt(neutral.paired * most_of(part.molality, Number(0))));
  const Number c = 2 * part.molality / (in_all + root);
  const auto saturated = neutral.held ? c == c : c > neutral.solubility;
  part.free_neutral = select(saturated, neutral.solubility, c);
  part.molality = part.free_neutral * in_all;
  part.by_total = select(saturated, Number(0), in_all / root);
  part.follows = 1 - part.by_total;
  carry(part.mean, part.follows);
}

/// The contribution of a part whose averages are known.
inline Contribution contribution(const Dissolved& part, const MeanCharge& mean) {
  Contribution result;
  result.molality = part.molality;
  result.mean = mean;
  result.free_neutral = part.molality * mean.neutral;
  const NeutralForm& neutral = part.neutral;
  if (neutral.is_limited()) limit<double>(result, {neutral.paired, neutral.solubility, neutral.held});
  return result;
}

template <class Policy>
Contribution contribution(const Dissolved& part, double h, const Policy& gamma) {
  return contribution(part, mean_charge(part.ladder, h, gamma, part.neutral.weight()));
}

/// Shares of the forms in the water, fully protonated first; they sum to one.
template <class Policy>
std::vector<double> shares(const Ladder& ladder, double h, const Policy& gamma) {
  std::vector<double> share{1.0};
  double weight = 1, sum = 1;
  int charge = ladder.charge;
  for (std::size_t j = 0; j < ladder.K.size(); ++j, --charge) {
    const double ratio =
        ladder.K[j] / h * gamma.step(charge, ladder.ion_size[j], ladder.ion_size[j + 1]);
    if (ratio <= 1) {
      weight *= ratio;
    } else {
      for (double& s : share) s /= ratio;
      sum /= ratio;
    }
    share.push_back(weight);
    sum += weight;
  }
  for (double& s : share) s /= sum;
  return share;
}

}  // namespace counterion::chemistry
