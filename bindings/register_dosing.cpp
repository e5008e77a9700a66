// SPDX-License-Identifier: MIT
#include "binding.hpp"

#include <counterion/dosing/amounts.hpp>

#include <fmt/format.h>

namespace counterion::bindings {
namespace {

bool has_grams(const Adjustment& self) { return self.possible && self.withheld.empty(); }

/// A number that means something only where grams may be given.
template <class Value>
auto where_given(Value Adjustment::*member) {
  return [member](const Adjustment& self) -> std::optional<double> {
    if (!has_grams(self)) return std::nullopt;
    return self.*member;
  };
}

std::string text_of(const Adjustment& self) {
  if (!self.possible) return fmt::format("<Adjustment {}: not possible>", in_quotes(self.name));
  if (!self.withheld.empty()) return fmt::format("<Adjustment {}: withheld>", in_quotes(self.name));
  return fmt::format("<Adjustment {}: {:.3g} g to pH {:.2f}>", in_quotes(self.name), self.grams, self.target);
}

void register_stage(py::module_& module) {
  py::class_<Stage>(module, "Stage", "A part of an amount: weigh it in, mix, read, and go on by what was read.")
      .def_readonly("grams", &Stage::grams, "Of stock, for the batch.")
      .def_readonly("expected_pH", &Stage::expected_ph, "What the reading should then be.")
      .def("__repr__", [](const Stage& self) {
        return fmt::format("<Stage {:.3g} g to pH {:.2f}>", self.grams, self.expected_ph);
      });
}

}  // namespace

void register_dosing(py::module_& module) {
  register_stage(module);
  py::class_<Adjustment>(module, "Adjustment", "What of an adjuster reaches the target.")
      .def_property_readonly("adjuster", [](const Adjustment& self) { return self.adjuster.ingredient; },
                             "Id of the ingredient.")
      .def_property_readonly("stock_percent", [](const Adjustment& self) { return self.adjuster.stock_percent; },
                             "Percent by weight of it in water; 100 is used as supplied.")
      .def_readonly("name", &Adjustment::name, "As people read it.")
      .def_readonly("target", &Adjustment::target, "pH.")
      .def_readonly("possible", &Adjustment::possible, "Whether it can reach the target.")
      .def_readonly("why_not", &Adjustment::why_not, "In words, when it cannot.")
      .def_readonly("withheld", &Adjustment::withheld,
                    "Why no grams are given: the move itself is the hazard; else empty.")
      .def_readonly("reachable_end", &Adjustment::reachable_end, "The pH with very much of it.")
      .def_property_readonly("grams", where_given(&Adjustment::grams),
                             "Of stock, for the batch; None when not possible or withheld.")
      .def_property_readonly("grams_low", where_given(&Adjustment::grams_low),
                             "Lower end of the 90 % interval of the same.")
      .def_property_readonly("grams_high", where_given(&Adjustment::grams_high),
                             "Upper end of it; None also where no amount would be enough.")
      .def_property_readonly("percent", where_given(&Adjustment::percent),
                             "Of stock, in the finished formula; None as above.")
      .def_property_readonly("percent_of_ingredient", where_given(&Adjustment::percent_of_ingredient),
                             "Of the ingredient as supplied, in the finished formula; None as above.")
      .def_readonly("from_water", &Adjustment::from_water,
                    "Whether it takes the place of water; otherwise it comes on top of the batch.")
      .def_property_readonly("pH_after", where_given(&Adjustment::ph_after),
                             "Predicted again with the amount in the formula; None as above.")
      .def_property_readonly("stages",
                             [](const py::object& self) {
                               const auto& adjustment = self.cast<const Adjustment&>();
                               return has_grams(adjustment) ? tuple_of(adjustment.stages, self) : py::tuple();
                             },
                             "First parts that are safe to weigh without a reading between.")
      .def_property_readonly("cautions", tuple_from(&Adjustment::cautions), "That it brings into the formula.")
      .def_property_readonly("limits", tuple_from(&Adjustment::limits), "That it makes the formula exceed.")
      .def("__repr__", &text_of);
}

}  // namespace counterion::bindings
