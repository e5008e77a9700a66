// SPDX-License-Identifier: MIT
#include "binding.hpp"

#include <counterion/dosing/buffer.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace counterion::bindings {
namespace {

void register_loaded(py::module_& module) {
  py::class_<LoadedPH>(module, "LoadedPH", "A pH, and where acid and base that may come take it.")
      .def_readonly("pH", &LoadedPH::ph, "Before.")
      .def_readonly("after_acid", &LoadedPH::after_acid, "The pH after the load of acid; None without such a load.")
      .def_readonly("after_base", &LoadedPH::after_base, "The pH after the load of base; None without such a load.")
      .def("__repr__", [](const LoadedPH& self) { return fmt::format("<LoadedPH {:.2f}>", self.ph); });
}

void register_partner(py::module_& module) {
  py::class_<BufferPartner>(module, "BufferPartner", "One partner of a buffer, as supplied.")
      .def_readonly("ingredient", &BufferPartner::ingredient, "Its id.")
      .def_readonly("name", &BufferPartner::name, "As people read it.")
      .def_readonly("percent", &BufferPartner::percent,
                    "Of the finished formula; 0 where the formula itself does this partner's part.")
      .def_readonly("grams", &BufferPartner::grams, "For the batch.")
      .def("__repr__", [](const BufferPartner& self) {
        return fmt::format("<BufferPartner {}: {:.3g} g>", in_quotes(self.name), self.grams);
      });
}

void define_figures(py::class_<BufferPair>& type) {
  type.def_property_readonly("pH", [](const BufferPair& self) { return self.ph.ph; }, "Predicted with it.")
      .def_readonly("loaded", &BufferPair::ph, "The same, and where the loads take it.")
      .def_readonly("percent_dry", &BufferPair::percent_dry,
                    "What both bring besides water, percent of the finished formula.")
      .def_readonly("buffer_capacity", &BufferPair::buffer_capacity,
                    "Moles of strong base per kg of water for one unit of pH.")
      .def_readonly("ionic_strength", &BufferPair::ionic_strength, "mol per kg of water.")
      .def_readonly("added_ionic_strength", &BufferPair::added_ionic_strength,
                    "Over that of the formula as it stands, mol per kg of water.");
}

void define_judgement(py::class_<BufferPair>& type) {
  type.def_readonly("electrolyte", &BufferPair::electrolyte, "Thickeners of the formula in that salt.")
      .def_property_readonly("cautions", tuple_from(&BufferPair::cautions), "That the partners bring.")
      .def_property_readonly("limits", tuple_from(&BufferPair::limits), "That they make the formula exceed.")
      .def_property_readonly("narrowing", tuple_from(&BufferPair::narrowing),
                             "Hard ranges of the partners that narrow the formula's window.")
      .def_readonly("outside_range", &BufferPair::outside_range, "Whether the pH lies outside one of those.")
      .def_readonly("clashes", &BufferPair::clashes, "How much of it meets something of the formula; 0 is nothing.")
      .def_readonly("thinning", &BufferPair::thinning,
                    "How far salt thins the thickener that stands it least, 0 to 1.");
}

void register_pair(py::module_& module) {
  py::class_<BufferPair> type(module, "BufferPair", "What of one buffer holds the pH.");
  type.def_readonly("system", &BufferPair::system, "Its name, such as citrate.")
      .def_readonly("acid", &BufferPair::acid, "The acid partner.")
      .def_readonly("base", &BufferPair::base, "The base partner.")
      .def_readonly("made_in_place", &BufferPair::made_in_place,
                    "Whether lye takes the place of the salt, or strong acid that of the acid.")
      .def_readonly("possible", &BufferPair::possible, "Whether it can hold the pH; figures mean something only then.")
      .def_readonly("why_not", &BufferPair::why_not, "In words, when it cannot.")
      .def_readonly("from_water", &BufferPair::from_water,
                    "Whether it takes the place of water; otherwise it comes on top of the batch.")
      .def("__repr__", [](const BufferPair& self) {
        return self.possible ? fmt::format("<BufferPair {}: pH {:.2f}>", self.system, self.ph.ph)
                             : fmt::format("<BufferPair {}: not possible>", self.system);
      });
  define_figures(type);
  define_judgement(type);
}

}  // namespace

void register_buffer(py::module_& module) {
  register_loaded(module);
  register_partner(module);
  register_pair(module);
  py::class_<Buffers>(module, "Buffers", "Buffers that would hold a pH against acid or base that may come.")
      .def_readonly("as_it_is", &Buffers::as_it_is, "The formula where it stands.")
      .def_readonly("once_there", &Buffers::once_there,
                    "Brought to the pH by strong acid or base alone; None where that cannot be.")
      .def_readonly("holds_already", &Buffers::holds_already, "Whether it has the pH and holds it: nothing to weigh.")
      .def_readonly("holds_once_there", &Buffers::holds_once_there,
                    "Whether its own buffering does: an adjuster is all it needs.")
      .def_property_readonly("pairs", tuple_from(&Buffers::pairs), "The best first; empty where none is needed.")
      .def("__repr__", [](const Buffers& self) {
        const auto possible = std::count_if(self.pairs.begin(), self.pairs.end(), [](const auto& p) { return p.possible; });
        return fmt::format("<Buffers: {} of {} possible>", possible, self.pairs.size());
      });
}

}  // namespace counterion::bindings
