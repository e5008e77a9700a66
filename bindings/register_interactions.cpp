// SPDX-License-Identifier: MIT
#include "value.hpp"

#include <counterion/chemistry/interactions.hpp>

#include <fmt/format.h>

namespace counterion::bindings {
namespace {

constexpr auto ion_doc = R"(An ion as interaction coefficients know it: a substance's name and a charge.

`counterion.hydrogen_ion` and `counterion.hydroxide_ion` are water's own. What goes into a solution is a
`StrongIon` or a `Protolyte`; each form of a protolyte is the ion of its name and the form's charge.

Parameters
----------
name : str
    The name of the protolyte or strong ion.
charge : int
    Its charge.
)";

constexpr auto interaction_doc = R"(The specific interaction coefficient of two ions.

Parameters
----------
first, second : Ion
    The pair, whichever way round.
epsilon : float
    kg/mol, for decadic logarithms, at 25 °C.
)";

constexpr auto interactions_doc = R"(Interaction coefficients of pairs of ions; immutable.

Only the "specific-ion" model looks at them. ``len()`` is how many pairs are listed.
`Tables.interactions` has those of the reference tables.

Parameters
----------
pairs : sequence of Interaction, optional
    Each pair once; a pair of like charge counts where it is listed.

Raises
------
BadInput
    Naming every ion without a charge, coefficient outside -2 to 2, and pair that comes twice.

Notes
-----
log10 of an ion's activity coefficient is -A z² √I/(1 + 1.5 √I) plus the sum of epsilon times
molality over the ions of opposite charge, and of like charge where listed: Ciavatta, Ann. Chim. (Rome)
70, 551 (1980; from memory).

Examples
--------
>>> from counterion import Interaction, Interactions, Ion, Protolyte, Solution, hydrogen_ion, ions
>>> chloride = Ion("chloride", -1)
>>> salts = Interactions([Interaction(hydrogen_ion, chloride, 0.12)])
>>> salts.epsilon(chloride, hydrogen_ion)
0.12
>>> acid = Solution([(ions.chloride, 1.0)], activity="specific-ion", interactions=salts)
>>> round(acid.pH, 2)
0.08
)";

constexpr auto epsilon_doc = R"(The coefficient of a pair, whichever way round.

Parameters
----------
a, b : Ion
    The pair.

Returns
-------
float
    kg/mol: as listed, else the estimate by their charges; 0 for ions of like sign that are not listed.

Notes
-----
The estimates are those of Hummel (2009), as printed in the help text of the program SPANA.
)";

constexpr auto knows_doc = R"(Whether a pair is listed, whichever way round.

Parameters
----------
a, b : Ion
    The pair.
)";

py::tuple parts_of_ion(const Ion& self) { return py::make_tuple(self.name, self.charge); }

py::tuple parts_of_interaction(const Interaction& self) {
  return py::make_tuple(self.first, self.second, self.epsilon);
}

void register_ion(py::module_& module) {
  py::class_<Ion> type(module, "Ion", ion_doc);
  type.def(py::init([](std::string name, int charge) { return Ion{std::move(name), charge}; }),
           py::arg("name"), py::arg("charge"))
      .def_readonly("name", &Ion::name, "The name of the protolyte or strong ion.")
      .def_readonly("charge", &Ion::charge, "Its charge.");
  define_value(type, "Ion({0!r}, {1})", &parts_of_ion, [](const py::tuple& parts) {
    return Ion{parts[0].cast<std::string>(), parts[1].cast<int>()};
  });
  module.attr("hydrogen_ion") = hydrogen_ion;
  module.attr("hydroxide_ion") = hydroxide_ion;
}

void register_interaction(py::module_& module) {
  py::class_<Interaction> type(module, "Interaction", interaction_doc);
  type.def(py::init([](Ion first, Ion second, double epsilon) {
             return Interaction{std::move(first), std::move(second), epsilon};
           }),
           py::arg("first"), py::arg("second"), py::arg("epsilon"))
      .def_readonly("first", &Interaction::first, "One ion of the pair.")
      .def_readonly("second", &Interaction::second, "The other.")
      .def_readonly("epsilon", &Interaction::epsilon, "kg/mol, for decadic logarithms, at 25 °C.");
  define_value(type, "Interaction({0!r}, {1!r}, {2})", &parts_of_interaction, [](const py::tuple& parts) {
    return Interaction{parts[0].cast<Ion>(), parts[1].cast<Ion>(), parts[2].cast<double>()};
  });
}

}  // namespace

void register_interactions(py::module_& module) {
  register_ion(module);
  register_interaction(module);
  py::class_<Interactions, std::shared_ptr<Interactions>>(module, "Interactions", interactions_doc)
      .def(py::init<const std::vector<Interaction>&>(), py::arg("pairs") = py::tuple())
      .def("epsilon", &Interactions::epsilon, py::arg("a"), py::arg("b"), epsilon_doc)
      .def("knows", &Interactions::knows, py::arg("a"), py::arg("b"), knows_doc)
      .def("__len__", &Interactions::size)
      .def("__repr__", [](const Interactions& self) {
        return fmt::format("<Interactions of {} pairs>", self.size());
      });
}

}  // namespace counterion::bindings
