// SPDX-License-Identifier: MIT
#include "binding.hpp"

#include <counterion/chemistry/solution.hpp>

#include <fmt/format.h>

#include <variant>

namespace counterion::bindings {
namespace {

constexpr auto solution_doc = R"(A solution of acids, bases and ions, solved once; immutable, safe to share between threads.

Parameters
----------
amounts : sequence of (Protolyte or StrongIon, float)
    What is dissolved, each with its moles per kilogram of water, 0 or more.
strong_charge : float, optional
    Shorthand for inert sodium (+) or chloride (-), mol of charge per kg of water. Inert salt
    matters too and is given as ions.
temperature_celsius : float, optional
    0 to 80.
activity : str, optional
    Model of ion activity, one of `counterion.activity_names`.
water : Water, optional
    The solvent's constants where they are not this package's own for the temperature.

Raises
------
BadInput
    Naming every amount that is not finite or is negative, and whatever else is wrong.

Notes
-----
pH is -log10 of the hydrogen ion's activity. Solved to better than 1e-9 pH. Davies' equation
(Davies, Ion Association, 1962) is held constant beyond an ionic strength of 0.5 mol/kg.

Examples
--------
>>> from counterion import Protolyte, Solution
>>> benzoic = Protolyte(charge=0, pK=[4.202])
>>> solution = Solution([(benzoic, 0.02)], strong_charge=0.01, activity="ideal")
>>> round(solution.pH, 2)
4.21
>>> [round(share, 2) for share in solution.shares(0)]
[0.5, 0.5]
)";

constexpr auto shares_doc = R"(Shares of the forms of one component, the fully protonated first; their sum is 1.

Parameters
----------
position : int
    Of the component in the list of amounts; a strong ion has one form.

Raises
------
IndexError
    When there is no such component.
)";

constexpr auto strong_charge_for_doc = R"(Net strong charge that would have to be added to reach a pH.

Parameters
----------
pH : float
    The pH to reach.

Returns
-------
float
    mol per kg of water; positive as sodium hydroxide, negative as hydrochloric acid.

Raises
------
BadInput
    When no amount of strong acid or alkali reaches it, or it is no pH (-60 to 60).
)";

constexpr auto amount_for_doc = R"(Total molality of one component that alone would put the solution at a pH.

Parameters
----------
position : int
    Of the component in the list of amounts.
pH : float
    The pH to reach.

Returns
-------
float or None
    mol per kg of water; None when no amount does it.

Raises
------
IndexError
    When there is no such component.
BadInput
    When that is no pH (-60 to 60).
)";

constexpr auto dose_for_doc = R"(How much of an additive brings a solution to a pH.

Parameters
----------
solution : Solution
    Where it goes in.
brings : sequence of (Protolyte or StrongIon, float)
    What one unit of the additive brings, in moles; a unit is whatever you like, a mole or a
    kilogram of stock.
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
    When what it brings is not finite or is negative, or the other numbers mean nothing.

Examples
--------
>>> from counterion import Protolyte, Solution, dose_for, ions
>>> solution = Solution([(Protolyte(charge=0, pK=[4.2]), 0.02)])
>>> round(dose_for(solution, [(ions.sodium, 1)], 5.0).amount, 3)
0.018
>>> print(dose_for(solution, [(ions.chloride, 1)], 5.0).amount)
None
)";

using What = std::variant<StrongIon, Protolyte>;  // Protolyte has no default for pybind11 to begin with
using Amounts = std::vector<std::pair<What, double>>;

std::vector<Amount> amounts_from(const Amounts& listed) {
  std::vector<Amount> amounts;
  for (const auto& line : listed)
    std::visit([&](const auto& what) { amounts.push_back({what, mol_per_kg(line.second)}); }, line.first);
  return amounts;
}

Activity activity_from(const std::string& name) {
  if (const auto activity = activity_named(name)) return *activity;
  std::string all;
  for (const auto known : activity_names) all += (all.empty() ? "'" : ", '") + std::string(known) + "'";
  refuse("activity is " + in_quotes(name), "one of " + all);
}

Solution solution_from(const Amounts& listed, double strong_charge, double temperature_celsius,
                       const std::string& activity, const std::optional<Water>& water) {
  Conditions conditions;
  conditions.temperature = celsius(temperature_celsius);
  conditions.activity = activity_from(activity);
  conditions.water = water;
  const auto amounts = amounts_from(listed);
  const py::gil_scoped_release others_may_run;
  return Solution(amounts, conditions, mol_per_kg(strong_charge));
}

py::tuple shares_of(const Solution& self, std::size_t position) {
  const auto shares = self.shares(position);
  return py::tuple(py::cast(std::vector<double>(shares.begin(), shares.end())));
}

std::optional<double> amount_for(const Solution& self, std::size_t position, double target) {
  const auto amount = self.amount_for(position, pH(target));
  return amount ? std::optional(in_mol_per_kg(*amount)) : std::nullopt;
}

Dose dose_from(const Solution& solution, const Amounts& brings, double target, double water_g,
               double most) {
  return dose_for(solution, Additive{amounts_from(brings), grams(water_g)}, pH(target), most);
}

std::string repr_of(const Solution& self) {
  return fmt::format("<Solution pH {:.4g}, ionic strength {:.3g} mol/kg>", self.ph().value(),
                     in_mol_per_kg(self.ionic_strength()));
}

void register_validity(py::module_& module) {
  py::class_<Validity>(module, "Validity",
                       "Whether the activity model is inside the range it was made for; true or false as it is.")
      .def_readonly("within_range", &Validity::within_range, "Whether it is.")
      .def_readonly("reason", &Validity::reason, "Why not; empty when it is.")
      .def("__bool__", [](const Validity& self) { return self.within_range; })
      .def("__repr__", [](const Validity& self) {
        return self.within_range ? std::string("<Validity: within range>")
                                 : "<Validity: " + self.reason + ">";
      });
}

void register_dose(py::module_& module) {
  py::class_<Dose>(module, "Dose", "How much of an additive reaches a pH.")
      .def_readonly("amount", &Dose::amount, "Units per kg of the solution's water; None when it cannot.")
      .def_property_readonly("reachable_end", [](const Dose& self) { return self.reachable_end.value(); },
                             "The pH with as much of it as was allowed.")
      .def("__repr__", [](const Dose& self) {
        const auto amount = self.amount ? fmt::format("{:.6g}", *self.amount) : "None";
        return fmt::format("<Dose amount={}, reachable_end={:.3g}>", amount, self.reachable_end.value());
      });
  module.def("dose_for", &dose_from, py::arg("solution"), py::arg("brings"), py::arg("pH"), py::kw_only(),
             py::arg("water_g") = 0.0, py::arg("most") = 100.0, dose_for_doc);
}

}  // namespace

void register_solution(py::module_& module) {
  register_validity(module);
  py::class_<Solution>(module, "Solution", solution_doc)
      .def(py::init(&solution_from), py::arg("amounts"), py::kw_only(), py::arg("strong_charge") = 0.0,
           py::arg("temperature_celsius") = 25.0, py::arg("activity") = "davies",
           py::arg("water") = py::none())
      .def_property_readonly("pH", [](const Solution& self) { return self.ph().value(); },
                             "-log10 of the hydrogen ion's activity.")
      .def_property_readonly("ionic_strength",
                             [](const Solution& self) { return in_mol_per_kg(self.ionic_strength()); },
                             "mol per kg of water.")
      .def_property_readonly("buffer_capacity", &Solution::buffer_capacity,
                             "Moles of strong base per kg of water for one unit of pH (Van Slyke's beta); positive.")
      .def_property_readonly("validity", &Solution::validity,
                             "Whether the activity model is inside its range.")
      .def_property_readonly("temperature_celsius",
                             [](const Solution& self) { return in_celsius(self.conditions().temperature); },
                             "The temperature it was solved at.")
      .def_property_readonly("activity",
                             [](const Solution& self) {
                               return std::string(
                                   activity_names[static_cast<std::size_t>(self.conditions().activity)]);
                             },
                             "Name of the activity model.")
      .def_property_readonly("water", [](const Solution& self) { return self.water(); },
                             "The solvent's constants.")
      .def("shares", &shares_of, py::arg("position"), shares_doc)
      .def("strong_charge_for",
           [](const Solution& self, double target) {
             return in_mol_per_kg(self.strong_charge_for(pH(target)));
           },
           py::arg("pH"), strong_charge_for_doc)
      .def("amount_for", &amount_for, py::arg("position"), py::arg("pH"), amount_for_doc)
      .def("__repr__", &repr_of);
  register_dose(module);
}

}  // namespace counterion::bindings
