// SPDX-License-Identifier: MIT
#include <counterion/chemistry/solution.hpp>

#include <algorithm>
#include <limits>

#include "dosing_input.hpp"
#include "lanes.hpp"

namespace counterion {
namespace {

using namespace chemistry;

constexpr double none = std::numeric_limits<double>::quiet_NaN();

/// The amounts that hold each pH, of an addition without a limit: a guess first, checked or made good.
template <class Model>
class Curve {
 public:
  Curve(const Solution& solution, const Addition& addition, const Model& model, double most)
      : solution_(solution), addition_(addition), model_(model), most_(most),
        ends_(solution.mixture(), addition, solution.water(), model, most) {}

  /// Guesses one after the other, each from those before.
  std::vector<double> amounts(std::span<const double> ph) const {
    const Amounting<double> start = start_of_all();
    Trail<double> trail(solution_.ph().value(), start);
    AmountNewton newton(solution_.mixture(), addition_, solution_.water(), model_);
    std::vector<double> found;
    for (const double at : ph) {
      const auto amount = newton.at(std::exp(-ln10 * at), trail.at(at));
      found.push_back(amount ? amount->x : none);
      if (amount) trail.add(at, *amount);
    }
    return found;
  }
  /// Guesses for several at once.
  std::vector<double> amounts(std::span<const double> ph, const LaneKernel& kernel,
                              const ModelChoice& choice) const {
    const Mixture &base = solution_.mixture(), &more = addition_.brings;
    LaneTitration titration{lane_problem(base, choice), lane_problem(more, choice),
                            {addition_.water_kg, more.solutes(), base.solutes()}, solution_.ph().value(),
                            start_of_all()};
    Reach reach(base);
    reach.include(more);
    titration.base.least_charge = reach.least, titration.base.largest_charge = reach.largest;
    titration.base.is_plain = reach.is_plain;
    std::vector<double> found(ph.size());
    kernel.titrate(titration, ph.data(), ph.size(), found.data());
    return found;
  }
  /// The amount if it can be added; where Newton has found none or one that cannot, the certain way.
  std::optional<double> checked(double ph, double amount) {
    if (amount >= 0 && amount < most_) return amount;
    if (std::isfinite(amount) && ends_.are_far_from(-ln10 * ph)) return std::nullopt;
    return amount_holding(std::exp(-ln10 * ph), solution_.mixture(), addition_, solution_.water(), model_,
                          most_);
  }

 private:
  Amounting<double> start_of_all() const { return {0, std::sqrt(in_mol_per_kg(solution_.ionic_strength()))}; }
  const Solution& solution_;
  const Addition& addition_;
  const Model& model_;
  double most_;
  Ends<Model> ends_;
};

}  // namespace

namespace chemistry {

std::vector<TitrationPoint> titrate_with(const LaneKernel* kernel, const Solution& solution,
                                         const Addition& addition, std::span<const double> ph, double most) {
  const ModelChoice choice = model_choice(solution.conditions());
  std::vector<TitrationPoint> points;
  points.reserve(ph.size());
  with_model(choice, [&](const auto& model) {
    using Model = std::decay_t<decltype(model)>;
    if constexpr (!std::is_same_v<Model, SpecificIonModel>)
      if (has_linear_balance<Model>(solution.mixture(), addition)) {
        Curve curve(solution, addition, model, most);
        const bool in_lanes = kernel != nullptr && ph.size() >= kernel->width &&
                              are_fit_for_lanes(choice, {&solution.mixture(), &addition.brings});
        const auto found = in_lanes ? curve.amounts(ph, *kernel, choice) : curve.amounts(ph);
        for (std::size_t i = 0; i < ph.size(); ++i)
          points.push_back({pH(ph[i]), curve.checked(ph[i], found[i])});
        return;
      }
    for (const double at : ph)
      points.push_back({pH(at), amount_holding(std::exp(-ln10 * at), solution.mixture(), addition,
                                               solution.water(), model, most)});
  });
  return points;
}

}  // namespace chemistry

std::vector<TitrationPoint> titration_curve(const Solution& solution, const Additive& additive,
                                            std::span<const pH> grid, double most) {
  const auto addition = addition_of(additive, solution.conditions(), most);
  require_targets(grid);
  std::vector<double> ph;
  ph.reserve(grid.size());
  for (const pH target : grid) ph.push_back(target.value());
  return titrate_with(fastest_kernel(), solution, addition, ph, most);
}

}  // namespace counterion
