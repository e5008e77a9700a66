// SPDX-License-Identifier: MIT
// How much of an additive reaches a pH, or each pH of a curve.
#include "register_solution.hpp"

#include <fmt/format.h>

namespace counterion::bindings {
namespace {

constexpr auto dose_for_doc = R"(How much of an additive brings a solution to a pH.

Parameters
----------
solution : Solution
    Where it goes in.
brings : sequence of tuple
    What one unit of the additive brings, as `Solution` takes it, in moles; a unit is whatever you
    like, a mole or a kilogram of stock.
pH : float
    The pH to reach.
water_g : float, optional
    Water that comes with one unit, in grams; negative where it takes the place of water.
most : float, optional
    The most that may be taken, in units per kg of the solution's water.

Returns
-------
Dose
    With `amount` None when this additive cannot: wrong direction, or its own pH is in the way.

Raises
------
BadInput
    When what it brings is not finite or is negative, that is no pH (-10 to 24), or the other numbers
    mean nothing.

Examples
--------
>>> from counterion import Protolyte, Solution, dose_for, ions
>>> solution = Solution([(Protolyte(charge=0, pK=[4.2]), 0.02)])
>>> round(dose_for(solution, [(ions.sodium, 1)], 5.0).amount, 3)
0.018
>>> print(dose_for(solution, [(ions.chloride, 1)], 5.0).amount)
None
)";

constexpr auto titration_curve_doc = R"(The amounts of an additive that bring a solution to each pH of a grid.

Parameters
----------
solution : Solution
    Where it goes in.
brings : sequence of tuple
    What one unit of the additive brings, in moles, as `dose_for` takes it.
pH : sequence of float
    The grid, in any order.
water_g : float, optional
    Water that comes with one unit, in grams; negative where it takes the place of water.
most : float, optional
    The most that may be taken, in units per kg of the solution's water.

Returns
-------
list of TitrationPoint
    One for each pH, in the grid's order.

Raises
------
BadInput
    As `dose_for`.

Notes
-----
Other threads run while it works.

Examples
--------
>>> from counterion import Protolyte, Solution, ions, titration_curve
>>> solution = Solution([(Protolyte(charge=0, pK=[4.2]), 0.02)])
>>> for point in titration_curve(solution, [(ions.sodium, 1)], [3, 4, 5, 6]):
...     print(point.pH, None if point.amount is None else round(point.amount, 4))
3.0 0.0002
4.0 0.0081
5.0 0.0175
6.0 0.0197
)";

Dose dose_from(const Solution& solution, const Amounts& brings, double target, double water_g,
               double most) {
  return dose_for(solution, Additive{amounts_from(brings), grams(water_g)}, pH(target), most);
}

std::vector<TitrationPoint> curve_from(const Solution& solution, const Amounts& brings,
                                       const std::vector<double>& targets, double water_g, double most) {
  const Additive additive{amounts_from(brings), grams(water_g)};
  const py::gil_scoped_release others_may_run;
  const std::vector<pH> grid(targets.begin(), targets.end());
  return titration_curve(solution, additive, grid, most);
}

std::string text_of(const std::optional<double>& amount) {
  return amount ? fmt::format("{:.6g}", *amount) : "None";
}

void register_point(py::module_& module) {
  py::class_<TitrationPoint>(module, "TitrationPoint", "One point of a titration curve.")
      .def_property_readonly("pH", [](const TitrationPoint& self) { return self.ph.value(); },
                             "The pH to reach.")
      .def_readonly("amount", &TitrationPoint::amount,
                    "Units per kg of the solution's water; None when the additive does not reach it.")
      .def("__repr__", [](const TitrationPoint& self) {
        return fmt::format("<TitrationPoint pH {:.4g}, amount={}>", self.ph.value(), text_of(self.amount));
      });
}

}  // namespace

void register_dose(py::module_& module) {
  py::class_<Dose>(module, "Dose", "How much of an additive reaches a pH.")
      .def_readonly("amount", &Dose::amount, "Units per kg of the solution's water; None when it cannot.")
      .def_property_readonly("reachable_end", [](const Dose& self) { return self.reachable_end.value(); },
                             "The pH with as much of it as was allowed.")
      .def("__repr__", [](const Dose& self) {
        return fmt::format("<Dose amount={}, reachable_end={:.3g}>", text_of(self.amount),
                           self.reachable_end.value());
      });
  register_point(module);
  module.def("dose_for", &dose_from, py::arg("solution"), py::arg("brings"), py::arg("pH"), py::kw_only(),
             py::arg("water_g") = 0.0, py::arg("most") = 100.0, dose_for_doc);
  module.def("titration_curve", &curve_from, py::arg("solution"), py::arg("brings"), py::arg("pH"),
             py::kw_only(), py::arg("water_g") = 0.0, py::arg("most") = 100.0, titration_curve_doc);
}

}  // namespace counterion::bindings
