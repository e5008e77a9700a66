// SPDX-License-Identifier: MIT
#include <counterion/chemistry/specific_ion.hpp>

#include <algorithm>
#include <cmath>

namespace counterion::chemistry {

IonicMedium::IonicMedium(const Mixture& mixture, const Interactions& interactions) {
  add(hydrogen_ion);
  add(hydroxide_ion);
  for (const auto& ion : mixture.ions) add({ion.name, ion.charge});
  inert_ = mixture.ions.size();
  for (const auto& part : mixture.protolytes)
    for (std::size_t j = 0; j <= part.ladder.K.size(); ++j)
      add({part.ladder.name, part.ladder.charge - static_cast<int>(j)});
  for (const auto& ion : ions_) {
    auto& terms = terms_.emplace_back();
    for (std::size_t k = 0; k < ions_.size(); ++k)
      if (const double epsilon = interactions.epsilon(ion, ions_[k]); epsilon != 0)
        terms.push_back({k, epsilon * ln10});
  }
  molality_.resize(ions_.size());
  sum_.resize(ions_.size());
  before_.resize(ions_.size());
  for (std::size_t k = 0; k < inert_; ++k) molality_[2 + k] = mixture.ions[k].molality;
}

void IonicMedium::put_into(SettledMedium& settled, const Mixture& mixture) const {
  settled.model.ln_hydrogen = sum_[0];
  settled.model.ln_hydroxide = sum_[1];
  std::size_t form = 2 + inert_;
  for (std::size_t i = 0; i < mixture.protolytes.size(); ++i, ++form) {
    const auto& bare = mixture.protolytes[i].ladder.K;
    auto& K = settled.mixture.protolytes[i].ladder.K;
    for (std::size_t j = 0; j < bare.size(); ++j, ++form)
      K[j] = bare[j] * std::exp(sum_[form] - sum_[form + 1]);
  }
}

void IonicMedium::count(const SettledMedium& settled, const Solvent& solvent) {
  const double h = std::exp(settled.root.x);
  const auto gamma = settled.model.at(settled.root.u);
  const WaterIons water = water_ions(solvent, h, gamma);
  molality_[0] = water.H;
  molality_[1] = water.OH;
  std::size_t form = 2 + inert_;
  for (const auto& part : settled.mixture.protolytes) {
    const Contribution in_play = contribution(part, h, gamma);
    const auto share = shares(part.ladder, h, gamma);
    const double in_water = 1 - in_play.mean.neutral * (part.neutral.weight() - 1);
    for (const double s : share) molality_[form++] = in_play.molality * in_water * s;
  }
}

double IonicMedium::renew(const SettledMedium& settled, const Solvent& solvent) {
  count(settled, solvent);
  double ions = 0;
  for (std::size_t k = 0; k < ions_.size(); ++k)
    if (ions_[k].charge != 0) ions += molality_[k];
  const double within = std::min(1.0, specific_ion_limit / std::max(ions, 1e-300));
  double change = 0;
  before_ = sum_;
  for (std::size_t k = 0; k < ions_.size(); ++k) {
    sum_[k] = 0;
    for (const auto& term : terms_[k]) sum_[k] += term.epsilon * molality_[term.partner] * within;
    change = std::max(change, std::abs(sum_[k] - before_[k]));
  }
  return change;
}

void IonicMedium::hold_back(double part) {
  for (std::size_t k = 0; k < sum_.size(); ++k) sum_[k] = before_[k] + part * (sum_[k] - before_[k]);
}

SettledMedium settle(const Mixture& mixture, const Water& water, const SpecificIonModel& model) {
  constexpr int most = 1000;  // a dozen in any real formula
  const Solvent solvent(water, mixture);
  SettledMedium settled{{}, mixture, {water}};
  IonicMedium medium(mixture, model.interactions);
  double last = 1e9, part = 1;
  for (int pass = 0; pass < most; ++pass) {
    medium.put_into(settled, mixture);
    settled.root = solve(settled.mixture, water, settled.model);
    const double change = medium.renew(settled, solvent);
    if (change < 1e-13) break;
    part = change > 0.8 * last ? std::max(0.02, 0.5 * part) : std::min(1.0, 1.1 * part);
    if (part < 1) medium.hold_back(part);
    last = change;
    if (pass + 1 == most && change > 1e-9)
      throw BadInput({{{}, "the interactions of ions do not settle", "coefficients nearer to measured ones", {}}});
  }
  return settled;
}

}  // namespace counterion::chemistry
