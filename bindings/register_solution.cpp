// SPDX-License-Identifier: MIT
#include "register_solution.hpp"

#include <fmt/format.h>

namespace counterion::bindings {
namespace {

constexpr auto solution_doc = R"(A solution of acids, bases and ions, solved once; immutable, safe to share between threads.

Parameters
----------
amounts : sequence of tuple
    What is dissolved: (what, mol_per_kg) or (what, mol_per_kg, neutral). `what` is a Protolyte, a
    StrongIon or an AcidPolymer (in moles of its sites), the amount in moles per kilogram of water, 0
    or more, and `neutral` the NeutralForm of a protolyte that goes elsewhere too.
strong_charge : float, optional
    Shorthand for inert sodium (+) or chloride (-), mol of charge per kg of water. Inert salt
    matters too and is given as ions.
temperature_celsius : float, optional
    0 to 80.
activity : str, optional
    Model of ion activity, one of `counterion.activity_names`.
water : Water, optional
    The solvent's constants where they are not this package's own for the temperature.
interactions : Interactions, optional
    Only the "specific-ion" model looks at them; ions are known by the names of their protolytes and
    strong ions. None given: every pair as its charges have it.

Raises
------
BadInput
    Naming every amount that is not finite or is negative, and whatever else is wrong.

Notes
-----
pH is -log10 of the hydrogen ion's activity. Solved to better than 1e-9 pH. Davies' equation
(Davies, Ion Association, 1962) is held constant beyond an ionic strength of 0.5 mol/kg; the
"specific-ion" model reaches to 3.5 mol/kg where its coefficients are known (see `Interactions`).

Examples
--------
>>> from counterion import Protolyte, Solution
>>> benzoic = Protolyte(charge=0, pK=[4.202])
>>> solution = Solution([(benzoic, 0.02)], strong_charge=0.01, activity="ideal")
>>> round(solution.pH, 2)
4.21
>>> [round(share, 2) for share in solution.shares(0)]
[0.5, 0.5]

The same acid where the water holds no more than 0.005 mol/kg of it undissociated:

>>> from counterion import NeutralForm
>>> crystals = NeutralForm(solubility=0.005)
>>> Solution([(benzoic, 0.02, crystals)], strong_charge=0.01).is_saturated(0)
True
)";

constexpr auto shares_doc = R"(Shares of the forms of one component, the fully protonated first; their sum is 1.

Parameters
----------
position : int
    Of the component in the list of amounts; a strong ion has one form, a polymer's sites two.

Returns
-------
tuple of float
    Of what the water holds; what is in oil, crystals or air is not counted.

Raises
------
IndexError
    When there is no such component.
)";

constexpr auto free_neutral_doc = R"(The neutral form that is free in the water.

What is in oil, micelles, a lactone or crystals is not counted.

Parameters
----------
position : int
    Of the component in the list of amounts.

Returns
-------
float
    mol per kg of water; 0 for a strong ion or a polymer.

Raises
------
IndexError
    When there is no such component.
)";

constexpr auto is_saturated_doc = R"(Whether the water holds as much of the neutral form as it can.

Parameters
----------
position : int
    Of the component in the list of amounts.

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
    When no amount of strong acid or alkali reaches it, or it is no pH (-10 to 24).
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
    When that is no pH (-10 to 24).
)";

constexpr auto by_amount_doc = R"(What more of one component does, per mol of it in a kg of water.

Parameters
----------
position : int
    Of the component in the list of amounts.

Returns
-------
Sensitivity

Raises
------
IndexError
    When there is no such component.

Examples
--------
>>> from counterion import Protolyte, Solution
>>> benzoic = Protolyte(charge=0, pK=[4.202])
>>> solution = Solution([(benzoic, 0.02)], strong_charge=0.01)
>>> round(solution.by_amount(0).pH)
-43
)";

constexpr auto by_pK_doc = R"(What a higher pK does, per unit.

Parameters
----------
position : int
    Of the component in the list of amounts.
step : int
    Of the pK in the protolyte, counted from 0; a polymer has its pK0 only.

Returns
-------
Sensitivity

Raises
------
IndexError
    When there is no such component or step; a strong ion has none.
)";

constexpr auto by_strong_charge_doc = R"(What strong base does, per mol in a kg of water; acid does the opposite.

Returns
-------
Sensitivity
    Its pH is one over the buffer capacity.
)";

constexpr auto by_temperature_doc = R"(What warming does, per kelvin.

Returns
-------
Sensitivity
    The solvent's constants move along unless they were given.
)";

Amount amount_from(const std::pair<What, double>& line) {
  return std::visit([&](const auto& what) { return Amount{what, mol_per_kg(line.second)}; }, line.first);
}

Amount amount_from(const std::tuple<What, double, NeutralForm>& line) {
  Amount amount = amount_from({std::get<0>(line), std::get<1>(line)});
  amount.neutral = std::get<2>(line);
  return amount;
}

Solution solution_from(const Amounts& listed, double strong_charge, double temperature_celsius,
                       const std::string& activity, const std::optional<Water>& water,
                       std::shared_ptr<Interactions> interactions) {
  Conditions conditions;
  conditions.temperature = celsius(temperature_celsius);
  conditions.activity = activity_from(activity);
  conditions.water = water;
  conditions.interactions = std::move(interactions);
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

void register_sensitivity(py::module_& module) {
  py::class_<Sensitivity>(module, "Sensitivity",
                          "First derivatives of a solution's pH and ionic strength, per unit of change.")
      .def_readonly("pH", &Sensitivity::ph, "pH per unit.")
      .def_readonly("ionic_strength", &Sensitivity::ionic_strength, "mol per kg of water, per unit.")
      .def("__repr__", [](const Sensitivity& self) {
        return fmt::format("<Sensitivity pH={:.6g}, ionic_strength={:.6g}>", self.ph, self.ionic_strength);
      });
}

void define_conditions(py::class_<Solution>& type) {
  type.def_property_readonly("temperature_celsius",
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
      .def_property_readonly("interactions",
                             [](const Solution& self) {
                               return std::const_pointer_cast<Interactions>(self.conditions().interactions);
                             },
                             "The interaction coefficients that were given, or None.");
}

void define_components(py::class_<Solution>& type) {
  type.def("shares", &shares_of, py::arg("position"), shares_doc)
      .def("free_neutral",
           [](const Solution& self, std::size_t position) {
             return in_mol_per_kg(self.free_neutral(position));
           },
           py::arg("position"), free_neutral_doc)
      .def("is_saturated", &Solution::is_saturated, py::arg("position"), is_saturated_doc)
      .def("amount_for", &amount_for, py::arg("position"), py::arg("pH"), amount_for_doc);
}

void define_sensitivities(py::class_<Solution>& type) {
  type.def("by_amount", &Solution::by_amount, py::arg("position"), by_amount_doc)
      .def("by_pK", &Solution::by_pK, py::arg("position"), py::arg("step"), by_pK_doc)
      .def("by_strong_charge", &Solution::by_strong_charge, by_strong_charge_doc)
      .def("by_temperature", &Solution::by_temperature, by_temperature_doc);
}

}  // namespace

std::vector<Amount> amounts_from(const Amounts& listed) {
  std::vector<Amount> amounts;
  for (const auto& either : listed)
    amounts.push_back(std::visit([](const auto& line) { return amount_from(line); }, either));
  return amounts;
}

Activity activity_from(const std::string& name) {
  if (const auto activity = activity_named(name)) return *activity;
  std::string all;
  for (const auto known : activity_names) all += (all.empty() ? "'" : ", '") + std::string(known) + "'";
  refuse("activity is " + in_quotes(name), "one of " + all);
}

void register_solution(py::module_& module) {
  register_validity(module);
  register_sensitivity(module);
  py::class_<Solution> type(module, "Solution", solution_doc);
  type.def(py::init(&solution_from), py::arg("amounts"), py::kw_only(), py::arg("strong_charge") = 0.0,
           py::arg("temperature_celsius") = 25.0, py::arg("activity") = "davies",
           py::arg("water") = py::none(), py::arg("interactions") = py::none())
      .def_property_readonly("pH", [](const Solution& self) { return self.ph().value(); },
                             "-log10 of the hydrogen ion's activity.")
      .def_property_readonly("ionic_strength",
                             [](const Solution& self) { return in_mol_per_kg(self.ionic_strength()); },
                             "mol per kg of water.")
      .def_property_readonly("buffer_capacity", &Solution::buffer_capacity,
                             "Moles of strong base per kg of water for one unit of pH (Van Slyke's beta); positive.")
      .def_property_readonly("validity", &Solution::validity,
                             "Whether the activity model is inside its range.")
      .def("strong_charge_for",
           [](const Solution& self, double target) {
             return in_mol_per_kg(self.strong_charge_for(pH(target)));
           },
           py::arg("pH"), strong_charge_for_doc)
      .def("__repr__", &repr_of);
  define_conditions(type);
  define_components(type);
  define_sensitivities(type);
  register_dose(module);
}

}  // namespace counterion::bindings
