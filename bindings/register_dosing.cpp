// SPDX-License-Identifier: MIT
#include "binding.hpp"

#include <counterion/dosing/amounts.hpp>
#include <counterion/dosing/plan.hpp>

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

std::optional<double> step_ph(const Adjustment& self) {
  return has_grams(self) ? std::optional(self.weighable.step_ph) : std::nullopt;
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

std::string text_of(const Plan& self) {
  const auto name = in_quotes(self.adjuster.ingredient);
  if (self.done) return fmt::format("<Plan {}: done>", name);
  if (self.additions.empty()) return fmt::format("<Plan {}: nothing to add>", name);
  return fmt::format("<Plan {}: {:.4g} g first, to pH {:.2f}>", name, self.additions.front().grams, self.target);
}

void register_addition(py::module_& module) {
  py::class_<PlannedAddition>(module, "PlannedAddition", "One addition, and the reading to expect after it.")
      .def_readonly("grams", &PlannedAddition::grams, "Of stock, a whole number of the scale's steps.")
      .def_readonly("expected_pH", &PlannedAddition::expected_ph, "What the reading should then be.")
      .def_readonly("low_pH", &PlannedAddition::ph_low, "Lower end of its 90 % interval.")
      .def_readonly("high_pH", &PlannedAddition::ph_high, "Upper end of the same.")
      .def("__repr__", [](const PlannedAddition& self) {
        return fmt::format("<PlannedAddition {:.4g} g to pH {:.2f} ({:.2f} to {:.2f})>", self.grams, self.expected_ph,
                           self.ph_low, self.ph_high);
      });
}

constexpr auto plan_doc = R"(The way to a target in a few additions, a reading after each.

The first addition is to be weighed; those after it are what the sums expect, and are worked out anew
from every reading.
)";

void register_plan(py::module_& module) {
  py::class_<Plan>(module, "Plan", plan_doc)
      .def_property_readonly("adjuster", [](const Plan& self) { return self.adjuster.ingredient; }, "Id of the ingredient.")
      .def_property_readonly("stock_percent", [](const Plan& self) { return self.adjuster.stock_percent; },
                             "Percent by weight of it in water; 100 is used as supplied.")
      .def_readonly("target_pH", &Plan::target, "Aimed for.")
      .def_readonly("tolerance_pH", &Plan::tolerance, "Inside target ± this the batch is done.")
      .def_readonly("done", &Plan::done, "Whether the batch lies inside as surely as can be known: leave it alone.")
      .def_readonly("chance_inside", &Plan::chance_inside, "That the batch as it stands lies inside, 0 to 1.")
      .def_readonly("beyond_target", &Plan::beyond, "Whether it lies past the target: this adjuster leads away from it.")
      .def_readonly("too_fine_for_scale", &Plan::too_fine, "Whether the next addition is less than the scale can weigh.")
      .def_property_readonly("additions", tuple_from(&Plan::additions), "In their order; empty when there are none.")
      .def("__repr__", [](const Plan& self) { return text_of(self); });
}

void register_undo(py::module_& module) {
  py::class_<Undo>(module, "Undo", "What bringing a batch back costs that has gone past its target.")
      .def_readonly("pH", &Undo::ph, "Where it would stand.")
      .def_property_readonly("adjuster",
                             [](const Undo& self) {
                               const auto& id = self.adjuster.ingredient;
                               return id.empty() ? std::nullopt : std::optional(id);
                             },
                             "Id of what brings it back, or None.")
      .def_property_readonly("stock_percent",
                             [](const Undo& self) {
                               const auto& stock = self.adjuster;
                               return stock.ingredient.empty() ? std::nullopt : std::optional(stock.stock_percent);
                             },
                             "Percent by weight of that in water, or None.")
      .def_readonly("grams", &Undo::grams, "Of its stock; None where it cannot.")
      .def_readonly("ionic_strength_after", &Undo::ionic_strength_after, "mol per kg of water, both adjusters in it.")
      .def_readonly("salt_percent", &Undo::salt_percent, "What the two leave behind, about, percent of the batch.")
      .def_readonly("remake", &Undo::remake, "Whether the batch is better made anew.")
      .def_readonly("why", &Undo::why, "In words.")
      .def("__repr__", [](const Undo& self) {
        const auto back = self.grams ? fmt::format("{:.3g} g {}", *self.grams, self.name) : std::string("no way back");
        return fmt::format("<Undo from pH {:.2f}: {}>", self.ph, back);
      });
}

}  // namespace

void register_dosing(py::module_& module) {
  register_stage(module);
  register_addition(module);
  register_plan(module);
  register_undo(module);
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
      .def_property_readonly("ionic_strength_after", where_given(&Adjustment::ionic_strength_after),
                             "Predicted with it, mol per kg of water; None as above.")
      .def_readonly("electrolyte_after", &Adjustment::electrolyte_after, "Thickeners of the formula in the salt after it.")
      .def_property_readonly("step_pH", &step_ph,
                             "What one step of the scale moves the batch by, at the target or at the start; None as above.")
      .def_property_readonly("too_coarse",
                             [](const Adjustment& self) { return has_grams(self) && self.weighable.too_coarse; },
                             "Whether such a step moves it by more than half of the tolerance, or the amount is but a few steps.")
      .def_property_readonly("dilute_to_percent",
                             [](const Adjustment& self) {
                               return has_grams(self) ? self.weighable.dilute_to_percent : std::nullopt;
                             },
                             "The stock to make instead, percent of the ingredient as supplied; None where none is "
                             "needed or none would do.")
      .def_property_readonly("stages",
                             [](const py::object& self) {
                               const auto& adjustment = self.cast<const Adjustment&>();
                               return has_grams(adjustment) ? tuple_of(adjustment.stages, self) : py::tuple();
                             },
                             "First parts that are safe to weigh without a reading between.")
      .def_property_readonly("cautions", tuple_from(&Adjustment::cautions), "That it brings into the formula.")
      .def_property_readonly("limits", tuple_from(&Adjustment::limits), "That it makes the formula exceed.")
      .def("__repr__", [](const Adjustment& self) { return text_of(self); });
}

}  // namespace counterion::bindings
