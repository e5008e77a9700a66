// SPDX-License-Identifier: MIT
#include "value.hpp"

#include <counterion/chemistry/neutral_form.hpp>

#include <fmt/format.h>

#include <array>

namespace counterion::bindings {
namespace {

constexpr auto neutral_form_doc = R"(Where the neutral form of an acid or base goes beside the water.

Its ions stay. Everything is for one kilogram of water. `Solution` takes it as the third element of an
amount, and refuses ratios outside 0 to 1000000, a negative solubility, and one above 1000 that is held.

Parameters
----------
elsewhere : float, optional
    Moles in oil and in micelles for one mole free in the water.
paired : float, optional
    Moles bound in pairs in the oil, for one mol/kg free in the water squared (kg/mol).
converted : float, optional
    Moles of a form into which it turns and from which it comes back (a lactone) for one mole.
solubility : float, optional
    The most that the water holds of it, mol/kg; what is more lies as crystals or oil drops.
held : bool, optional
    The water holds `solubility` of it whatever is used up: crystals in plenty, or the gas above. The
    moles of the amount then make no difference.

Examples
--------
Water open to air, the gas's constant 0.034 mol/kg for an atmosphere and 420 ppm of it there:

>>> from counterion import NeutralForm, Protolyte, Solution
>>> carbonic = Protolyte(charge=0, pK=[6.352, 10.329])
>>> air = NeutralForm(solubility=0.034 * 420e-6, held=True)
>>> round(Solution([(carbonic, 0, air)]).pH, 1)
5.6
)";

constexpr auto shared_with_oil_doc = R"(The neutral form of a substance beside oil.

Parameters
----------
partition : float
    Ratio of concentrations, oil to water.
litres_per_kg : float
    Litres of oil beside one kilogram of water.
pairing : float, optional
    Constant of dimers in the oil, [dimer] = pairing [single]², L/mol.

Returns
-------
NeutralForm

Notes
-----
Concentrations in the water are taken per kilogram. `Solution` refuses what is no ratio.

Examples
--------
>>> from counterion import Protolyte, Solution, shared_with_oil
>>> benzoic = Protolyte(charge=0, pK=[4.2])
>>> oil = shared_with_oil(partition=5, litres_per_kg=0.25)
>>> solution = Solution([(benzoic, 0.01, oil)])
>>> round(solution.free_neutral(0), 4)
0.0042
)";

py::tuple parts_of(const NeutralForm& self) {
  return py::make_tuple(self.elsewhere, self.paired, self.converted, self.solubility, self.held);
}

NeutralForm restored(const py::tuple& parts) {
  return {parts[0].cast<double>(), parts[1].cast<double>(), parts[2].cast<double>(),
          parts[3].cast<double>(), parts[4].cast<bool>()};
}

/// Only what differs from nothing, as infinity has no literal.
std::string text_of(const NeutralForm& self) {
  constexpr std::array names = {"elsewhere", "paired", "converted", "solubility", "held"};
  const py::tuple parts = parts_of(self), none = parts_of({});
  std::string text;
  for (std::size_t i = 0; i < names.size(); ++i)
    if (!parts[i].equal(none[i]))
      text += fmt::format("{}{}={}", text.empty() ? "" : ", ", names[i], py::repr(parts[i]).cast<std::string>());
  return "NeutralForm(" + text + ")";
}

}  // namespace

void register_neutral_form(py::module_& module) {
  const NeutralForm none;
  py::class_<NeutralForm> type(module, "NeutralForm", neutral_form_doc);
  type.def(py::init([](double elsewhere, double paired, double converted, double solubility, bool held) {
             return NeutralForm{elsewhere, paired, converted, solubility, held};
           }),
           py::arg("elsewhere") = none.elsewhere, py::arg("paired") = none.paired,
           py::arg("converted") = none.converted, py::arg("solubility") = none.solubility,
           py::arg("held") = none.held)
      .def_readonly("elsewhere", &NeutralForm::elsewhere, "Moles in oil and micelles for one in the water.")
      .def_readonly("paired", &NeutralForm::paired, "Moles in pairs in the oil, kg/mol.")
      .def_readonly("converted", &NeutralForm::converted, "Moles of the form it turns into for one mole.")
      .def_readonly("solubility", &NeutralForm::solubility, "The most that the water holds, mol/kg.")
      .def_readonly("held", &NeutralForm::held, "Whether the water holds that much whatever is used up.");
  define_value_shown_by(type, &text_of, &parts_of, &restored);
  module.def("shared_with_oil", &shared_with_oil, py::arg("partition"), py::arg("litres_per_kg"),
             py::arg("pairing") = 0.0, shared_with_oil_doc);
}

}  // namespace counterion::bindings
