// SPDX-License-Identifier: MIT
// Mean charge of a ladder and how it moves with pH and ionic strength, in one pass over its forms.
#pragma once

#include <counterion/chemistry/mixture.hpp>

namespace counterion::chemistry {

/// Averages over the forms of one ladder, and their slopes in x = ln a(H+) and u = √I.
struct MeanCharge {
  double z = 0, z_by_x = 0, z_by_u = 0;     ///< mean charge; z_by_x is its variance
  double up = 0, up_by_x = 0, up_by_u = 0;        ///< the part of it that cations carry
  double down = 0, down_by_x = 0, down_by_u = 0;  ///< the part that anions carry, as a positive number
  double z2 = 0, z2_by_x = 0, z2_by_u = 0;  ///< mean squared charge
};

/// Running sums of a ladder's weights; the newest form has weight `w`, none is above it by overflow.
struct LadderSums {
  double w = 1, one = 0, z2 = 0, z3 = 0, g = 0, z2g = 0;
  double up = 0, up_z = 0, up_g = 0, down = 0, down_z = 0, down_g = 0;

  void take(int charge, double slope) {
    const double z = charge, wz = w * z;
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
    for (double* sum : {&one, &z2, &z3, &g, &z2g, &up, &up_z, &up_g, &down, &down_z, &down_g})
      *sum /= ratio;
  }
  MeanCharge averages() const {
    const double f = 1 / one, u = up * f, d = down * f, z = u - d, zz = z2 * f, gg = g * f;
    const double u_x = up_z * f - u * z, d_x = down_z * f - d * z;
    const double u_u = u * gg - up_g * f, d_u = d * gg - down_g * f;
    return {z, u_x - d_x, u_u - d_u, u,  u_x,           u_u,
            d, d_x,       d_u,       zz, z3 * f - zz * z, zz * gg - z2g * f};
  }
};

/// Mean charge at hydrogen-ion activity h; `gamma` is an activity policy evaluated at u.
template <class Policy>
MeanCharge mean_charge(const Ladder& ladder, double h, const Policy& gamma) {
  LadderSums sums;
  int charge = ladder.charge;
  sums.take(charge, gamma.slope(charge, ladder.ion_size[0]));
  for (std::size_t j = 0; j < ladder.K.size(); ++j, --charge) {
    sums.step(ladder.K[j] / h * gamma.step(charge, ladder.ion_size[j], ladder.ion_size[j + 1]));
    sums.take(charge - 1, gamma.slope(charge - 1, ladder.ion_size[j + 1]));
  }
  return sums.averages();
}

/// Shares of the forms, fully protonated first; they sum to one.
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
