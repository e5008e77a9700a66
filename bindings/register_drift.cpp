// SPDX-License-Identifier: MIT
#include "binding.hpp"

#include <counterion/answer/batch_answer.hpp>

#include <fmt/format.h>

namespace counterion::bindings {
namespace {

void register_point(py::module_& module) {
  py::class_<DriftPoint>(module, "DriftPoint", "The pH at one time after mixing.")
      .def_readonly("days", &DriftPoint::days, "Since mixing.")
      .def_readonly("pH", &DriftPoint::ph, "The middle.")
      .def_readonly("low_pH", &DriftPoint::low, "Lower end of its 90 % interval.")
      .def_readonly("high_pH", &DriftPoint::high, "Upper end of the same.")
      .def_readonly("change_pH", &DriftPoint::change, "Against the prediction, quick changes being over.")
      .def_readonly("change_low_pH", &DriftPoint::change_low, "Lower end of the change's 90 % interval.")
      .def_readonly("change_high_pH", &DriftPoint::change_high, "Upper end of the same.")
      .def("__repr__", [](const DriftPoint& self) {
        return fmt::format("<DriftPoint {:.4g} days: pH {:.2f} ({:.2f} to {:.2f})>", self.days, self.ph, self.low, self.high);
      });
}

void register_cause(py::module_& module) {
  py::class_<DriftCause>(module, "DriftCause", "A slow reaction of a line, and what it does by itself.")
      .def_readonly("item", &DriftCause::item, "Position of the formula's line.")
      .def_readonly("what", &DriftCause::what, "In words.")
      .def_readonly("watch_for", &DriftCause::watch_for, "One sentence for a maker.")
      .def_readonly("shift_pH", &DriftCause::shift_ph, "From mixing to the last time, by it alone.")
      .def_readonly("share_done", &DriftCause::share_done, "Of its reactant, at the last time, 0 to 1.")
      .def_readonly("half_life_days", &DriftCause::half_life_days, "At the beginning, as it is kept.")
      .def_readonly("quick", &DriftCause::quick, "Whether it is over within days.")
      .def_readonly("source", &DriftCause::source, "Key of the source.")
      .def_readonly("row_id", &DriftCause::row_id, "Cites the row.")
      .def("__repr__", [](const DriftCause& self) {
        return fmt::format("<DriftCause {}: {:+.2f}>", in_quotes(self.what), self.shift_ph);
      });
}

void register_untimed(py::module_& module) {
  py::class_<UntimedChange>(module, "UntimedChange", "A change that is known to happen, at a speed that is in no table.")
      .def_readonly("item", &UntimedChange::item, "Position of the formula's line.")
      .def_readonly("effect", &UntimedChange::effect,
                    "acid-appears, base-appears, acid-disappears or base-disappears.")
      .def_readonly("watch_for", &UntimedChange::watch_for, "One sentence for a maker; may be empty.")
      .def_readonly("source", &UntimedChange::source, "Key of the source.")
      .def_readonly("row_id", &UntimedChange::row_id, "Cites the row.")
      .def("__repr__", [](const UntimedChange& self) {
        return fmt::format("<UntimedChange of line {}: {}>", self.item, self.effect);
      });
}

void register_follow_up(py::module_& module) {
  py::class_<FollowUp>(module, "FollowUp", "A reading worth taking while the product is kept.")
      .def_readonly("days", &FollowUp::days, "Since mixing.")
      .def_readonly("pH", &FollowUp::ph, "To expect.")
      .def_readonly("low_pH", &FollowUp::low, "Lower end of its 90 % interval.")
      .def_readonly("high_pH", &FollowUp::high, "Upper end of the same.")
      .def("__repr__", [](const FollowUp& self) {
        return fmt::format("<FollowUp {:.4g} days: pH {:.2f} ({:.2f} to {:.2f})>", self.days, self.ph, self.low, self.high);
      });
}

void register_judged(py::module_& module) {
  py::class_<JudgedReading>(module, "JudgedReading", "A later reading against the forecast from those before it.")
      .def_readonly("days", &JudgedReading::days, "Since mixing.")
      .def_readonly("pH", &JudgedReading::ph, "As read.")
      .def_readonly("expected_pH", &JudgedReading::expected, "The middle of what was expected.")
      .def_readonly("low_pH", &JudgedReading::low, "Lower end of its 90 % interval, the meter's own ± included.")
      .def_readonly("high_pH", &JudgedReading::high, "Upper end of the same.")
      .def_readonly("surprise", &JudgedReading::surprise,
                    "How many standard deviations away it was read, positive where higher.")
      .def_readonly("as_expected", &JudgedReading::as_expected, "Otherwise something else is going on.")
      .def("__repr__", [](const JudgedReading& self) {
        return fmt::format("<JudgedReading {:.4g} days: pH {:.2f}, expected {:.2f} ({:.2f} to {:.2f})>", self.days, self.ph,
                           self.expected, self.low, self.high);
      });
}

void register_warm_stay(py::module_& module) {
  py::class_<ShelfTime>(module, "ShelfTime", "Days on the shelf that do to one reaction what a stay in the warm does.")
      .def_readonly("item", &ShelfTime::item, "Position of the formula's line that reacts.")
      .def_readonly("row_id", &ShelfTime::row_id, "Of the reaction.")
      .def_readonly("days", &ShelfTime::days, "At 25 °C, the middle.")
      .def_readonly("low_days", &ShelfTime::low, "Lower end of the 90 % interval.")
      .def_readonly("high_days", &ShelfTime::high, "Upper end of the same.")
      .def("__repr__", [](const ShelfTime& self) {
        return fmt::format("<ShelfTime {:.3g} days ({:.3g} to {:.3g})>", self.days, self.low, self.high);
      });
  py::class_<WarmStay>(module, "WarmStay", "A stay in the warm, and what it stands for at 25 °C.")
      .def_property_readonly("days", [](const WarmStay& self) { return self.stay.days; }, "Of the stay.")
      .def_property_readonly("celsius", [](const WarmStay& self) { return self.stay.celsius; }, "Of the stay.")
      .def_property_readonly("at_25_celsius", tuple_from(&WarmStay::at_25_celsius), "One for each reaction.")
      .def("__repr__", [](const WarmStay& self) {
        return fmt::format("<WarmStay {:.4g} days at {:g} °C>", self.stay.days, self.stay.celsius);
      });
}

py::tuple storage_of(const Keeping& self) {
  py::tuple stays(self.storage.size());
  for (std::size_t i = 0; i < self.storage.size(); ++i)
    stays[i] = py::make_tuple(self.storage[i].days, self.storage[i].celsius);
  return stays;
}

/// A getter that shows a vector of the forecast as a tuple.
template <class Element>
auto of_drift(std::vector<Element> Drift::*member) {
  return [member](const py::object& self) { return tuple_of(self.cast<const Keeping&>().drift.*member, self); };
}

std::optional<double> days_of(const Keeping& self, std::optional<double> Leaves::*member) {
  return self.leaves ? *self.leaves.*member : std::nullopt;
}

void define_forecast(py::class_<Keeping>& type) {
  type.def_property_readonly("storage", &storage_of, "Stays as (days, celsius), one after another.")
      .def_property_readonly("points", of_drift(&Drift::points), "One for each time, in their order.")
      .def_property_readonly("causes", of_drift(&Drift::causes), "What reacts at a known speed, largest shift first.")
      .def_property_readonly("untimed", of_drift(&Drift::untimed), "What is known to happen at a speed in no table.")
      .def_property_readonly("fall", [](const Keeping& self) { return self.drift.fall; },
                             "Of the pH below the prediction, quick changes being over.")
      .def_property_readonly("rise", [](const Keeping& self) { return self.drift.rise; }, "Of the pH above it.")
      .def_property_readonly("acid_mmol_per_kg", [](const Keeping& self) { return self.drift.acid_mmol_per_kg; },
                             "Strong acid per kg of product that would do the same at the last time; negative: base.");
}

void define_advice(py::class_<Keeping>& type) {
  type.def_property_readonly("leaves_after_days",
                             [](const Keeping& self) { return days_of(self, &Leaves::middle_days); },
                             "Days after which the pH leaves the window; None where it stays, where there is no window, "
                             "or where it stands outside.")
      .def_property_readonly("may_leave_after_days",
                             [](const Keeping& self) { return days_of(self, &Leaves::earliest_days); },
                             "Days after which its 90 % interval first reaches beyond the window, or None.")
      .def_property_readonly("follow_ups", tuple_from(&Keeping::follow_ups), "Readings worth taking, in their order.")
      .def_readonly("buffers", &Keeping::buffers, "The best two that would hold it within 0.2; None where it needs none.")
      .def_property_readonly("warm_stays", tuple_from(&Keeping::warm_stays), "Of the storage, with what they stand for.")
      .def_readonly("air_pH", &Keeping::air_ph, "What carbon dioxide from the air may move the pH by.")
      .def("__repr__", [](const Keeping& self) {
        return fmt::format("<Drift falls by {:.2f}, rises by {:.2f} in {:.4g} days>", self.drift.fall, self.drift.rise,
                           self.drift.points.back().days);
      });
}

}  // namespace

void register_drift(py::module_& module) {
  register_point(module);
  register_cause(module);
  register_untimed(module);
  register_follow_up(module);
  register_judged(module);
  register_warm_stay(module);
  py::class_<Keeping> type(module, "Drift", "Where the pH of a product goes while it is kept.");
  define_forecast(type);
  define_advice(type);
}

}  // namespace counterion::bindings
