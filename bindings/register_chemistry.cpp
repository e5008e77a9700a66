// SPDX-License-Identifier: MIT
// What a solution is made of: protolytes, acid polymers, inert ions, water; all of them plain values.
#include "value.hpp"

#include <counterion/chemistry/activity.hpp>
#include <counterion/chemistry/polymer.hpp>
#include <counterion/chemistry/protolyte.hpp>

#include <array>
#include <string>

namespace counterion::bindings {
namespace {

constexpr auto protolyte_doc = R"(A substance that gives up protons one after another.

Parameters
----------
charge : int
    Charge of the fully protonated form, -60 to 60.
pK : sequence of float
    At 25 °C and no ionic strength, the first proton to leave first; each -60 to 60.
dH_kJ_per_mol, dCp_J_per_mol_K : sequence of float, optional
    Enthalpy and heat capacity of each ionisation; none given means 0.
ion_size_angstrom : sequence of float, optional
    One for each form, the fully protonated one first; none given means 4.5. Only the
    "extended-debye-huckel" model looks at them.
name : str, optional
    What messages call it.

Raises
------
BadInput
    When there is no pK, a number is not finite or out of range, or the lengths do not match.

Notes
-----
pK at other temperatures with constant heat capacity: Clarke and Glew, Trans. Faraday Soc. 62, 539
(1966).

Examples
--------
>>> from counterion import Protolyte
>>> citric = Protolyte(charge=0, pK=[3.128, 4.761, 6.396], name="citric acid")
>>> citric.pK
(3.128, 4.761, 6.396)
)";

constexpr auto ion_doc = R"(An ion whose charge no pH changes; charge 0 is an inert neutral solute.

`counterion.ions` has the usual ones.

Parameters
----------
name : str
    What messages call it.
charge : int
    Its charge.
ion_size_angstrom : float, optional
    Its size, 0 or more.
)";

constexpr auto polymer_doc = R"(An acid polymer (carbomer, polyacrylates), counted in moles of its sites.

The apparent pK of its sites rises with neutralisation and falls with salt, and the chain binds part of
its counter-ions. `Solution` refuses numbers outside the spans that are given here.

Parameters
----------
pK0 : float, optional
    pK of a site on an uncharged chain without salt, -60 to 60.
spacing_angstrom : float, optional
    Distance of sites along the stretched chain, 0.5 to 100; 2.52 is every second carbon atom.
ion_size_angstrom : float, optional
    For the cloud of ions around a single charge, 0 to 100.
name : str, optional
    What messages call it.

Notes
-----
A line of charges with its layer of bound counter-ions: Manning, Q. Rev. Biophys. 11, 179 (1978; from
memory).

Examples
--------
Half a percent of carbomer, 13.2 mmol of acid sites a gram, half neutralised:

>>> from counterion import AcidPolymer, Solution
>>> sites = 0.0132 * 5 / 0.995
>>> gel = Solution([(AcidPolymer(name="carbomer"), sites)], strong_charge=sites / 2)
>>> round(gel.pH, 1)
6.2
>>> [round(share, 2) for share in gel.shares(0)]
[0.5, 0.5]
)";

constexpr auto water_doc = R"(The solvent's constants, so that any reference's own can be put in their place.

Parameters
----------
pKw : float
    Of the ion product on the molal scale.
debye_huckel_A : float
    For log10 of the activity coefficient, (kg/mol)^(1/2).
debye_huckel_B : float
    Per ångström, (kg/mol)^(1/2).
water_activity : str, optional
    How the activity of water follows from what is dissolved: "raoult" (its mole fraction),
    "linear" (1 - 0.017 per mol/kg, the rule of general geochemical engines) or "unity".

Raises
------
BadInput
    When there is no such rule.

Examples
--------
>>> from counterion import Water
>>> round(Water.at(25).pKw, 2)
13.99
)";

constexpr auto water_at_doc = R"(Water as this package has it.

Parameters
----------
temperature_celsius : float
    0 to 80.

Raises
------
BadInput
    When the temperature is outside.

Notes
-----
Ion product: IAPWS R11-07. Density: Kell, J. Chem. Eng. Data 20, 97 (1975). Permittivity: Malmberg
and Maryott, J. Res. NBS 56, 1 (1956).
)";

constexpr std::array<std::string_view, 3> water_activity_names = {"raoult", "linear", "unity"};

WaterActivity water_activity_named(const std::string& name) {
  for (std::size_t i = 0; i < water_activity_names.size(); ++i)
    if (water_activity_names[i] == name) return static_cast<WaterActivity>(i);
  refuse("water_activity is " + in_quotes(name), "'raoult', 'linear' or 'unity'");
}

std::string name_of(WaterActivity rule) {
  return std::string(water_activity_names[static_cast<std::size_t>(rule)]);
}

/// One value for each pK, or none, which means zeros.
std::vector<double> for_each_pK(const char* what, std::vector<double> values, std::size_t steps,
                                std::vector<Problem>& problems) {
  if (values.empty()) return std::vector<double>(steps, 0.0);
  if (values.size() == steps) return values;
  auto& problem = problems.emplace_back();
  problem.found = std::to_string(values.size()) + " values of " + what + " for " +
                  std::to_string(steps) + " pK";
  problem.expected = "one for each pK, or none";
  return std::vector<double>(steps, 0.0);
}

Protolyte protolyte_from(int charge, const std::vector<double>& pK, std::vector<double> dH,
                         std::vector<double> dCp, std::vector<double> ion_sizes, std::string name) {
  std::vector<Problem> problems;
  dH = for_each_pK("dH_kJ_per_mol", std::move(dH), pK.size(), problems);
  dCp = for_each_pK("dCp_J_per_mol_K", std::move(dCp), pK.size(), problems);
  if (!problems.empty()) throw BadInput(std::move(problems));
  std::vector<Ionisation> steps;
  for (std::size_t i = 0; i < pK.size(); ++i) steps.push_back({pK[i], dH[i], dCp[i], 0});
  return Protolyte(charge, std::move(steps), std::move(name), std::move(ion_sizes));
}

py::tuple step_values(const Protolyte& self, double Ionisation::*member) {
  py::tuple values(self.steps().size());
  for (std::size_t i = 0; i < self.steps().size(); ++i) values[i] = self.steps()[i].*member;
  return values;
}

py::tuple ion_sizes(const Protolyte& self) {
  py::tuple sizes(self.steps().size() + 1);
  for (std::size_t i = 0; i <= self.steps().size(); ++i) sizes[i] = self.ion_size_angstrom(i);
  return sizes;
}

py::tuple parts_of_protolyte(const Protolyte& self) {
  return py::make_tuple(self.charge_fully_protonated(), step_values(self, &Ionisation::pK),
                        step_values(self, &Ionisation::dH_kJ_per_mol),
                        step_values(self, &Ionisation::dCp_J_per_mol_K), ion_sizes(self), self.name());
}

py::tuple parts_of_ion(const StrongIon& self) {
  return py::make_tuple(self.name, self.charge, self.ion_size_angstrom);
}

py::tuple parts_of_polymer(const AcidPolymer& self) {
  return py::make_tuple(self.pK0, self.spacing_angstrom, self.ion_size_angstrom, self.name);
}

py::tuple parts_of_water(const Water& self) {
  return py::make_tuple(self.pKw, self.debye_huckel_A, self.debye_huckel_B, name_of(self.activity));
}

void register_protolyte(py::module_& module) {
  const py::tuple none;
  py::class_<Protolyte> type(module, "Protolyte", protolyte_doc);
  type.def(py::init(&protolyte_from), py::arg("charge") = 0, py::arg("pK") = none, py::kw_only(),
           py::arg("dH_kJ_per_mol") = none, py::arg("dCp_J_per_mol_K") = none,
           py::arg("ion_size_angstrom") = none, py::arg("name") = "")
      .def_property_readonly("name", &Protolyte::name, "What messages call it.")
      .def_property_readonly("charge", &Protolyte::charge_fully_protonated,
                             "Charge of the fully protonated form.")
      .def_property_readonly(
          "pK", [](const Protolyte& self) { return step_values(self, &Ionisation::pK); },
          "At 25 °C and no ionic strength, the first proton to leave first.")
      .def_property_readonly(
          "dH_kJ_per_mol",
          [](const Protolyte& self) { return step_values(self, &Ionisation::dH_kJ_per_mol); },
          "Enthalpy of each ionisation.")
      .def_property_readonly(
          "dCp_J_per_mol_K",
          [](const Protolyte& self) { return step_values(self, &Ionisation::dCp_J_per_mol_K); },
          "Heat capacity of each ionisation.")
      .def_property_readonly("ion_size_angstrom", &ion_sizes, "Size of each form.");
  define_value(type,
               "Protolyte({0}, {1}, dH_kJ_per_mol={2}, dCp_J_per_mol_K={3}, ion_size_angstrom={4}, "
               "name={5!r})",
               &parts_of_protolyte, [](const py::tuple& parts) {
                 using Numbers = std::vector<double>;
                 return protolyte_from(parts[0].cast<int>(), parts[1].cast<Numbers>(),
                                       parts[2].cast<Numbers>(), parts[3].cast<Numbers>(),
                                       parts[4].cast<Numbers>(), parts[5].cast<std::string>());
               });
}

void register_strong_ion(py::module_& module) {
  py::class_<StrongIon> type(module, "StrongIon", ion_doc);
  type.def(py::init([](std::string name, int charge, double size) {
             return StrongIon{std::move(name), charge, size};
           }),
           py::arg("name"), py::arg("charge"),
           py::arg("ion_size_angstrom") = chemistry::default_ion_size_angstrom)
      .def_readonly("name", &StrongIon::name, "What messages call it.")
      .def_readonly("charge", &StrongIon::charge, "Its charge.")
      .def_readonly("ion_size_angstrom", &StrongIon::ion_size_angstrom, "Its size.");
  define_value(type, "StrongIon({0!r}, {1}, ion_size_angstrom={2})", &parts_of_ion, [](const py::tuple& parts) {
    return StrongIon{parts[0].cast<std::string>(), parts[1].cast<int>(), parts[2].cast<double>()};
  });
}

AcidPolymer polymer_from(double pK0, double spacing, double ion_size, std::string name) {
  return {pK0, spacing, ion_size, std::move(name)};
}

void register_polymer(py::module_& module) {
  const AcidPolymer usual;
  py::class_<AcidPolymer> type(module, "AcidPolymer", polymer_doc);
  type.def(py::init(&polymer_from), py::arg("pK0") = usual.pK0,
           py::arg("spacing_angstrom") = usual.spacing_angstrom,
           py::arg("ion_size_angstrom") = usual.ion_size_angstrom, py::arg("name") = "")
      .def_readonly("pK0", &AcidPolymer::pK0, "pK of a site on an uncharged chain without salt.")
      .def_readonly("spacing_angstrom", &AcidPolymer::spacing_angstrom, "Distance of sites along the chain.")
      .def_readonly("ion_size_angstrom", &AcidPolymer::ion_size_angstrom,
                    "For the cloud around a single charge.")
      .def_readonly("name", &AcidPolymer::name, "What messages call it.");
  define_value(type, "AcidPolymer({0}, {1}, {2}, name={3!r})", &parts_of_polymer, [](const py::tuple& parts) {
    return polymer_from(parts[0].cast<double>(), parts[1].cast<double>(), parts[2].cast<double>(),
                        parts[3].cast<std::string>());
  });
}

Water water_from(double pKw, double A, double B, const std::string& rule) {
  return {pKw, A, B, water_activity_named(rule)};
}

Water water_at(double temperature_celsius) {
  if (!(temperature_celsius >= 0 && temperature_celsius <= 80))
    refuse("the temperature is " + std::to_string(temperature_celsius) + " °C", "0 to 80 °C");
  return chemistry::water_at(temperature_celsius);
}

void register_water(py::module_& module) {
  py::class_<Water> type(module, "Water", water_doc);
  type.def(py::init(&water_from), py::arg("pKw"), py::arg("debye_huckel_A"), py::arg("debye_huckel_B"),
           py::arg("water_activity") = "raoult")
      .def_static("at", &water_at, py::arg("temperature_celsius"), water_at_doc)
      .def_readonly("pKw", &Water::pKw, "Of the ion product, molal scale.")
      .def_readonly("debye_huckel_A", &Water::debye_huckel_A, "(kg/mol)^(1/2), for log10.")
      .def_readonly("debye_huckel_B", &Water::debye_huckel_B, "(kg/mol)^(1/2) per ångström.")
      .def_property_readonly("water_activity", [](const Water& self) { return name_of(self.activity); },
                             "The rule for the activity of water.");
  define_value(type, "Water({0}, {1}, {2}, water_activity={3!r})", &parts_of_water, [](const py::tuple& parts) {
    return water_from(parts[0].cast<double>(), parts[1].cast<double>(), parts[2].cast<double>(),
                      parts[3].cast<std::string>());
  });
}

template <std::size_t count>
py::tuple names(const std::array<std::string_view, count>& all) {
  py::tuple list(count);
  for (std::size_t i = 0; i < count; ++i) list[i] = py::str(all[i].data(), all[i].size());
  return list;
}

}  // namespace

void register_chemistry(py::module_& module) {
  module.attr("activity_names") = names(activity_names);
  module.attr("water_activity_names") = names(water_activity_names);
  register_protolyte(module);
  register_strong_ion(module);
  register_polymer(module);
  register_water(module);
}

}  // namespace counterion::bindings
