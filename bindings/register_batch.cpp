// SPDX-License-Identifier: MIT
#include "binding.hpp"

#include <counterion/batch/calibrate.hpp>
#include <counterion/batch/prediction.hpp>
#include <counterion/batch/sampled.hpp>

#include <fmt/format.h>

#include <cmath>

namespace counterion::bindings {
namespace {

void register_driver(py::module_& module) {
  py::class_<DriverEffect>(module, "DriverEffect", "What an uncertain quantity does to the predicted pH.")
      .def_readonly("item", &DriverEffect::item, "Position of the formula's line, or None.")
      .def_readonly("what", &DriverEffect::what, "In words.")
      .def_readonly("source", &DriverEffect::source, "Key of the source; may be empty.")
      .def_readonly("row_id", &DriverEffect::row_id, "Cites the row; may be empty.")
      .def_readonly("pH_low", &DriverEffect::ph_low, "Lowest pH with this quantity alone off its middle.")
      .def_readonly("pH_high", &DriverEffect::ph_high, "Highest pH with this quantity alone off its middle.")
      .def("__repr__", [](const DriverEffect& self) {
        return fmt::format("<DriverEffect {}: {:.2f} to {:.2f}>", in_quotes(self.what), self.ph_low, self.ph_high);
      });
}

void register_saturated(py::module_& module) {
  py::class_<Saturated>(module, "Saturated",
                        "A substance that the water cannot hold all of: the rest is crystals or drops.")
      .def_readonly("substance", &Saturated::substance, "Its id.")
      .def_readonly("name", &Saturated::name, "Its name.")
      .def_readonly("percent_out", &Saturated::percent_out, "Percent of the formula that is not dissolved.")
      .def_readonly("percent_held", &Saturated::percent_held,
                    "Percent of the formula that the water holds in the neutral form.")
      .def("__repr__", [](const Saturated& self) {
        return fmt::format("<Saturated {}: {:.2g} % of the formula not dissolved>", in_quotes(self.name),
                           self.percent_out);
      });
}

void register_learned(py::module_& module) {
  py::class_<ReadingInLight>(module, "ReadingInLight", "A reading as it was expected from what was known before it.")
      .def_readonly("pH", &ReadingInLight::ph, "As read.")
      .def_readonly("expected_pH", &ReadingInLight::expected, "The middle of what was expected.")
      .def_readonly("low_pH", &ReadingInLight::low, "Lower end of its 90 % interval, the meter's own ± included.")
      .def_readonly("high_pH", &ReadingInLight::high, "Upper end of the same.")
      .def_readonly("surprise", &ReadingInLight::surprise,
                    "How many standard deviations away it was read, positive where higher.")
      .def("__repr__", [](const ReadingInLight& self) {
        return fmt::format("<ReadingInLight pH {:.2f}, expected {:.2f} ({:.2f} to {:.2f})>", self.ph, self.expected,
                           self.low, self.high);
      });
  py::class_<Learned>(module, "Learned", "Something that the readings have taught, with its 90 % interval.")
      .def_readonly("value", &Learned::value, "The middle.")
      .def_readonly("low", &Learned::low, "Lower end of the 90 % interval.")
      .def_readonly("high", &Learned::high, "Upper end of the 90 % interval.")
      .def("__repr__", [](const Learned& self) {
        return fmt::format("<Learned {:.3g} ({:.3g} to {:.3g})>", self.value, self.low, self.high);
      });
}

double quantile(const SampledPH& self, double share) {
  if (!(share >= 0 && share <= 1)) refuse(fmt::format("a share of {}", share), "0 to 1");
  return self.quantile(share);
}

double share_between(const SampledPH& self, double low, double high) {
  if (std::isnan(low) || std::isnan(high)) refuse(fmt::format("pH {} to {}", low, high), "two numbers");
  return self.share_between(low, high);
}

void register_sampled(py::module_& module) {
  py::class_<SampledPH>(module, "SampledPH", "Draws of a pH from everything about it that is not sure.")
      .def_property_readonly("draws", [](const SampledPH& self) { return py::tuple(py::cast(self.draws)); },
                             "All of them in ascending order.")
      .def("__len__", [](const SampledPH& self) { return self.draws.size(); })
      .def("quantile", &quantile, py::arg("share"),
           "The pH below which this share (0 to 1) of the draws lies; BadInput for another share.")
      .def("share_between", &share_between, py::arg("low"), py::arg("high"),
           "The share (0 to 1) of the draws at pH low to high; BadInput where one is not a number.")
      .def("__repr__", [](const SampledPH& self) {
        return fmt::format("<SampledPH {} draws, {:.2f} to {:.2f}>", self.draws.size(), self.quantile(0.05),
                           self.quantile(0.95));
      });
}

}  // namespace

void register_batch(py::module_& module) {
  register_driver(module);
  register_saturated(module);
  register_learned(module);
  register_sampled(module);
  py::class_<Prediction>(module, "Prediction", "A predicted pH with its 90 % interval.")
      .def_readonly("pH", &Prediction::ph, "The middle.")
      .def_readonly("p05", &Prediction::p05, "Lower end of the 90 % interval, pH.")
      .def_readonly("p95", &Prediction::p95, "Upper end of the 90 % interval, pH.")
      .def_readonly("buffer_capacity", &Prediction::buffer_capacity,
                    "Moles of strong base per kg of water for one unit of pH.")
      .def_readonly("ionic_strength", &Prediction::ionic_strength, "mol per kg of water.")
      .def_readonly("activity_within_range", &Prediction::activity_within_range,
                    "Whether the activity model is inside the range it was made for.")
      .def_readonly("validity", &Prediction::validity, "Why not, when it is not.")
      .def_readonly("water_percent", &Prediction::water_percent, "Water in the formula, percent by weight.")
      .def_property_readonly("charge_meq_per_kg", tuple_from(&Prediction::charge_meq_per_kg),
                             "Charge of each line at this pH, per kg of formula.")
      .def_property_readonly("drivers", tuple_from(&Prediction::drivers),
                             "What widens the interval, widest first.")
      .def_property_readonly("saturated", tuple_from(&Prediction::saturated),
                             "What the water does not hold all of at the predicted pH.")
      .def("__repr__", [](const Prediction& self) {
        return fmt::format("<Prediction pH {:.2f} ({:.2f} to {:.2f})>", self.ph, self.p05, self.p95);
      });
}

}  // namespace counterion::bindings
