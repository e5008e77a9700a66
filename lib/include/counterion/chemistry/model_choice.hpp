// SPDX-License-Identifier: MIT
// A model of activity coefficients by its name: the one place where a name becomes a type.
#pragma once

#include <counterion/chemistry/activity.hpp>
#include <counterion/chemistry/interactions.hpp>

namespace counterion::chemistry {

/// Knows no coefficient before the composition is known: `settle` finds both together.
struct SpecificIonModel {
  Water water;
  const Interactions& interactions;
};

/// A model by name, with what the models may need.
struct ModelChoice {
  Activity activity = Activity::davies;
  Water water;
  double davies_held_beyond = davies_limit;
  const Interactions* interactions = nullptr;  ///< none given: every pair as its charges have it
};

/// Calls `work` with the model of that name.
template <class Work>
decltype(auto) with_model(const ModelChoice& choice, Work&& work) {
  static const Interactions none;
  switch (choice.activity) {
    case Activity::ideal: return work(IdealModel{});
    case Activity::extended_debye_huckel: return work(ExtendedDebyeHuckelModel{choice.water});
    case Activity::specific_ion:
      return work(SpecificIonModel{choice.water, choice.interactions ? *choice.interactions : none});
    case Activity::davies: break;
  }
  return work(DaviesModel{choice.water, choice.davies_held_beyond});
}

}  // namespace counterion::chemistry
