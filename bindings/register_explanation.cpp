// SPDX-License-Identifier: MIT
#include "readings.hpp"
#include "register_formula.hpp"
#include "register_solution.hpp"

#include <counterion/report/explanation.hpp>

#include <pybind11/stl/filesystem.h>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace counterion::bindings {
namespace {

constexpr auto explain_doc =
    R"(Why a batch reads what it reads: is there a difference, its causes, what to check, what mends it.

Parameters
----------
formula : Formula, path, mapping, or sequence
    The formula, or anything that `Formula` takes.
readings : path or sequence
    What was read of the batch, as for `predict`: pH values (0 to 14), ``(pH, [(adjuster, grams), ...])``, or
    the path of a log. Of a log whose single lines are at fault the rest is used; ``to_dict()["log"]`` names them.
tables : Tables, optional
    The built-in tables unless given.
target : float, optional
    pH to aim for, 0 to 14, instead of the one that the window suggests.
batch_g : float, optional
    Size of the batch in grams, instead of the formula's.
type, use, jurisdiction : str, optional
    As for `check`.
temperature_celsius : float, optional
    Of the formula's prediction, 0 to 80.
activity : str, optional
    Model of ion activity, one of `counterion.activity_names`.
meter : float, optional
    What the meter is off by, 0 to 2 pH units; the tables' figure for its method unless given.
scale_g : float, optional
    What the scale resolves, 0.000001 to 1000 g.
adjusters : sequence of str, optional
    Acids and alkalis to mend with; a few common ones unless given.
tolerance : float, optional
    How near to the target is near enough, 0.01 to 2 pH units.
method : str, optional
    How the readings (of a log the last one) were taken: meter, meter-two-points, meter-one-point,
    meter-not-calibrated or strip.
step : float, optional
    Of the strip's scale, pH units.
buffers : sequence of (float, float), optional
    What calibration buffers read: (pH of the buffer, pH shown).
dilution : (float, float), optional
    It was read in water: grams of product, grams of water.
sample_temperature_celsius : float, optional
    Of what was read, 0 to 80.
compensated : bool, optional
    Whether the meter knows of that temperature.
findings : sequence of str, optional
    What checks found: "measure-again: nothing", "measure-again: meter-not-calibrated",
    "packs-and-sheet: citric acid" (a line of the formula), "weigh-batch: 491 g".
allow_unlisted : bool, optional
    Take materials that no table lists; the answer then says that they were not judged.

Returns
-------
Explanation

Raises
------
BadInput
    With every fault of the formula, the readings or the options at once; for findings with the valid words.
UnknownIngredient
    When no table knows what was added.
TypeError
    When readings are none of these.

Notes
-----
Other threads run while it works. The answer is neither a safety nor a legal assessment: a
qualified assessor, the law of the place and a challenge test decide.

Examples
--------
>>> import counterion
>>> cream = {"Lactic acid 80 %": 2, "Sodium lactate 60 %": 4, "Water": "q.s."}
>>> fine = counterion.explain(cream, [counterion.check(cream).prediction.pH])
>>> fine.causes[0].kind, fine.measurement.difference
('none', 'inside')
>>> odd = counterion.explain(cream, [6.7], batch_g=500, findings=["measure-again: nothing", "weigh-batch: 490 g"])
>>> odd.causes[0].what, odd.mends[0].action
('Lactic acid 80 % left out', 'weigh-in')
)";

constexpr auto explanation_doc = R"(Why a batch reads what it reads; immutable.

``str()`` is the text report of the command, `to_dict` what its JSON says. Two are equal when those are.
)";

using Text = std::optional<std::string>;
using Number = std::optional<double>;
using Names = std::optional<std::vector<std::string>>;
using Buffers = std::vector<std::pair<double, double>>;

/// How the readings were taken, as Python says it.
struct Measured {
  const Text& method;
  Number step;
  const Buffers& buffers;
  const std::optional<std::pair<double, double>>& dilution;
  Number sample_celsius;
  bool compensated;
};

Method method_from(const std::string& name) {
  const auto found = std::ranges::find(method_names, name);
  if (found == method_names.end())
    refuse("method is " + in_quotes(name), fmt::format("one of {}", fmt::join(method_names, ", ")));
  return static_cast<Method>(found - method_names.begin());
}

void add_measured(const Measured& measured, const Tables& tables, Taken& taken) {
  auto& measuring = taken.measuring;
  if (measured.method) measuring.method = method_from(*measured.method), taken.method_stated = true;
  if (measured.step) measuring.step_ph = measured.step;
  if (!measured.buffers.empty()) measuring.buffers.clear();
  for (const auto& [nominal, shown] : measured.buffers)
    measuring.buffers.push_back({nominal, shown, {}, 25});
  if (measured.dilution)
    measuring.dilution = {measured.dilution->first, measured.dilution->second,
                          carbon_dioxide_of_air(tables)};
  if (measured.sample_celsius) measuring.sample_celsius = measured.sample_celsius;
  if (!measured.compensated) measuring.compensates_temperature = false;
}

bool is_path(const py::object& source) {
  return py::isinstance<py::str>(source) || py::hasattr(source, "__fspath__");
}

void take(const py::object& source, const Tables& tables, const Measured& measured,
          ExplainOptions& options) {
  if (is_path(source)) {
    const auto path = source.cast<std::filesystem::path>();
    add_log(read_reading_log_file(path, tables), path.string(), tables, options);
    return add_measured(measured, tables, options.taken.back());
  }
  options.readings = readings_from(source, tables).taken;
  options.taken.resize(options.readings.size());
  for (auto& taken : options.taken) add_measured(measured, tables, taken);
}

Explanation explain_any(const py::object& source, const py::object& taken, const Tables* chosen,
                        Number target, Number batch_g, const Text& type, const Text& use,
                        const Text& jurisdiction, double temperature_celsius,
                        const std::string& activity, Number meter, double scale_g,
                        const Names& adjusters, double tolerance, const Text& method, Number step,
                        const Buffers& buffers,
                        const std::optional<std::pair<double, double>>& dilution,
                        Number sample_temperature_celsius, bool compensated,
                        const std::vector<std::string>& findings, bool allow_unlisted) {
  const Tables& tables = chosen ? *chosen : Tables::built_in();
  const Formula formula = formula_from(source, chosen, allow_unlisted);
  ExplainOptions options;
  if (target) options.target = pH(*target);
  options.batch_g = batch_g;
  options.product_type = type.value_or(""), options.use = use.value_or("");
  options.jurisdiction = jurisdiction.value_or("");
  options.temperature = celsius(temperature_celsius);
  options.activity = activity_from(activity);
  if (meter) options.meter_ph = *meter, options.meter_stated = true;
  options.scale_g = scale_g, options.tolerance_ph = tolerance;
  if (adjusters) options.adjusters = *adjusters;
  for (const auto& text : findings)
    options.findings.push_back(finding_named(text, formula, tables));
  take(taken, tables, {method, step, buffers, dilution, sample_temperature_celsius, compensated},
       options);
  const py::gil_scoped_release others_may_run;
  return explain(formula, tables, options);
}

// How it is shown

std::string json_of(const Explanation& self, int indent) {
  const py::gil_scoped_release others_may_run;
  return json_report(self, indent);
}

py::object dict_of(const Explanation& self) {
  return py::module_::import("json").attr("loads")(json_of(self, -1));
}

std::string text_of(const Explanation& self) {
  const py::gil_scoped_release others_may_run;
  return text_report(self);
}

std::string repr_of(const Explanation& self) {
  if (self.explained.causes.empty()) return "<Explanation: none>";
  const auto& first = self.explained.causes.front();
  return fmt::format("<Explanation: {}, {:.2f}>", first.hypothesis.what, first.probability);
}

// The parts

void register_measurement(py::module_& module) {
  using Effect = ReadingEffect;
  py::class_<Effect>(module, "ReadingEffect", "One thing that moves a reading or makes it unsure.")
      .def_readonly("what", &Effect::what, "In words.")
      .def_readonly("shift_pH", &Effect::shift_ph,
                    "The reading lies so much above what it would be without.")
      .def_readonly("half_width_pH", &Effect::half_ph, "90 % half width that it adds.")
      .def_readonly("what_to_do", &Effect::what_to_do, "The cheapest way to be rid of it.")
      .def_readonly("source", &Effect::source, "Key of the source; may be empty.")
      .def_readonly("row_id", &Effect::row_id, "Cites the row; may be empty.")
      .def("__repr__",
           [](const Effect& self) { return "<ReadingEffect " + in_quotes(self.what) + ">"; });
  using Light = MeasurementInLight;
  py::class_<Light>(module, "MeasurementInLight",
                    "The last reading against what was expected of it.")
      .def_property_readonly(
          "read_pH", [](const Light& self) { return self.quality.read_ph; }, "As shown.")
      .def_property_readonly(
          "corrected_pH", [](const Light& self) { return self.quality.corrected_ph; },
          "Of the product itself, without all that is known to have moved the reading.")
      .def_property_readonly(
          "half_width_pH", [](const Light& self) { return self.quality.half_ph; },
          "90 % half width of that.")
      .def_property_readonly(
          "effects",
          [](const py::object& self) {
            return tuple_of(self.cast<const Light&>().quality.effects, self);
          },
          "What moves it or makes it unsure, the largest first.")
      .def_readonly("expected_pH", &Light::expected, "That was expected to be read.")
      .def_readonly("low_pH", &Light::low, "Lower end of the 90 % interval of what would be read.")
      .def_readonly("high_pH", &Light::high, "Upper end of the same.")
      .def_readonly("surprise", &Light::surprise,
                    "How many standard deviations away it lies, + read higher.")
      .def_readonly("once_in", &Light::once_in, "One batch in so many reads as far off by chance.")
      .def_readonly("by_readings_before", &Light::by_readings_before,
                    "Whether what was expected rests on the readings before it.")
      .def_property_readonly(
          "difference",
          [](const Light& self) {
            return std::string(difference_names[static_cast<std::size_t>(self.difference)]);
          },
          "inside, may-be-chance or real.")
      .def("__repr__", [](const Light& self) {
        return fmt::format("<MeasurementInLight {:.2f}, expected {:.2f}>", self.quality.read_ph,
                           self.expected);
      });
}

/// What stands in the place of a line's material, were this the cause.
std::string taken_instead(const Cause& self) {
  for (const auto& line : self.likely.lines)
    if (!line.ingredient.empty()) return line.ingredient;
  return {};
}

void register_cause(py::module_& module) {
  py::class_<Cause>(module, "Cause", "A cause of what was read.")
      .def_property_readonly(
          "mishap", [](const Cause& self) { return self.hypothesis.mishap; }, "Row of the mishaps.")
      .def_property_readonly(
          "kind", [](const Cause& self) { return self.hypothesis.kind; },
          "Of that row; none: nothing went wrong.")
      .def_property_readonly(
          "items", [](const Cause& self) { return py::tuple(py::cast(self.hypothesis.items)); },
          "Positions of the lines that it is about.")
      .def_property_readonly("ingredient", &taken_instead,
                             "Id of what was taken instead; may be empty.")
      .def_property_readonly(
          "what", [](const Cause& self) { return self.hypothesis.what; }, "In words.")
      .def_readonly("probability", &Cause::probability, "0 to 1.")
      .def_readonly("pH", &Cause::ph,
                    "That the last reading would be with it; None where not worked out.")
      .def_readonly("how_it_shows", &Cause::how_it_shows, "One sentence.")
      .def_readonly("check", &Cause::check, "Name of the check that shows it.")
      .def_readonly("what_to_check", &Cause::what_to_check, "The same as a sentence.")
      .def("__repr__", [](const Cause& self) {
        return fmt::format("<Cause {}: {:.2f}>", in_quotes(self.hypothesis.what), self.probability);
      });
}

void register_checks(py::module_& module) {
  py::class_<CheckOutcome>(module, "CheckOutcome", "What a check may find.")
      .def_readonly("what", &CheckOutcome::what, "In words.")
      .def_readonly("probability", &CheckOutcome::probability, "That it is found, 0 to 1.")
      .def_property_readonly(
          "leading", [](const CheckOutcome& self) { return py::tuple(py::cast(self.leading)); },
          "Causes by position, each with its new probability.")
      .def("__repr__", [](const CheckOutcome& self) {
        return fmt::format("<CheckOutcome {}: {:.2f}>", in_quotes(self.what), self.probability);
      });
  py::class_<AdvisedCheck>(module, "AdvisedCheck", "A check worth making.")
      .def_readonly("check", &AdvisedCheck::check, "Its name, as `findings` have it.")
      .def_property_readonly(
          "what_to_do",
          [](const AdvisedCheck& self) { return py::tuple(py::cast(self.what_to_do)); },
          "Sentences, the most probable cause's first.")
      .def_readonly("minutes", &AdvisedCheck::minutes, "That it takes.")
      .def_readonly("bits", &AdvisedCheck::bits, "Of the question that it answers, on average.")
      .def_readonly("sure_after", &AdvisedCheck::sure_after,
                    "Probability that the cause named first afterwards is the true one.")
      .def_property_readonly("outcomes", tuple_from(&AdvisedCheck::outcomes),
                             "The most probable first.")
      .def("__repr__",
           [](const AdvisedCheck& self) { return "<AdvisedCheck " + self.check + ">"; });
}

void register_mend(py::module_& module) {
  py::class_<Weighing>(module, "Weighing", "So much of something to weigh.")
      .def_readonly("ingredient", &Weighing::ingredient, "Id; may be empty.")
      .def_readonly("name", &Weighing::name, "Its name.")
      .def_readonly("grams", &Weighing::grams, "Of stock.")
      .def_readonly("stock_percent", &Weighing::stock_percent, "Of the ingredient in it.")
      .def("__repr__", [](const Weighing& self) {
        return fmt::format("<Weighing {:.4g} g of {}>", self.grams, in_quotes(self.name));
      });
  py::class_<Mend>(module, "Mend", "A way to mend a cause, judged again.")
      .def_readonly("cause", &Mend::cause, "Position of the cause.")
      .def_property_readonly(
          "action",
          [](const Mend& self) {
            return std::string(mend_action_names[static_cast<std::size_t>(self.action)]);
          },
          "accept, read-again, wait, weigh-in, make-up-with-water, make-larger, dose, remake or "
          "throw-away.")
      .def_property_readonly("weighings", tuple_from(&Mend::weighings),
                             "Empty where there are none, or they are withheld.")
      .def_readonly("batch_g", &Mend::batch_g, "Size of the batch afterwards, or None.")
      .def_property_readonly(
          "pH_after", [](const Mend& self) { return self.after.ph; },
          "Of the batch afterwards, or None.")
      .def_readonly("withheld", &Mend::withheld, "Why no grams are given; empty otherwise.")
      .def_readonly("why", &Mend::why, "One sentence.")
      .def_readonly("first", &Mend::first, "Whether it is the one to take.")
      .def("__repr__", [](const Mend& self) {
        return fmt::format("<Mend {}>", mend_action_names[static_cast<std::size_t>(self.action)]);
      });
}

void register_change(py::module_& module) {
  py::class_<ChangeInLight>(module, "ChangeInLight", "A change over time against the forecast.")
      .def_readonly("from_days", &ChangeInLight::from_days, "Age at the first reading.")
      .def_readonly("to_days", &ChangeInLight::to_days, "Age at the last reading.")
      .def_readonly("change_pH", &ChangeInLight::read, "What was read, pH units.")
      .def_readonly("expected_pH", &ChangeInLight::expected,
                    "The change that was forecast, pH units.")
      .def_readonly("low_pH", &ChangeInLight::low,
                    "Lower end of the 90 % interval of the change that would be read.")
      .def_readonly("high_pH", &ChangeInLight::high, "Upper end of the same.")
      .def_readonly("as_forecast", &ChangeInLight::as_forecast, "Whether it lies inside.")
      .def("__repr__", [](const ChangeInLight& self) {
        return fmt::format("<ChangeInLight {:+.2f}, forecast {:+.2f}>", self.read, self.expected);
      });
}

void register_answer_of_explain(py::module_& module) {
  py::class_<Explanation>(module, "Explanation", explanation_doc)
      .def_readonly("check", &Explanation::check, "The formula as written, predicted and judged.")
      .def_property_readonly(
          "stop", &Explanation::stop,
          "Whether the formula, or the batch as its likeliest cause has it, says stop.")
      .def_property_readonly("readings", tuple_from(&Explanation::readings),
                             "Each as it was expected from what was known before it.")
      .def_readonly("measurement", &Explanation::measurement,
                    "The last reading; None without a water phase.")
      .def_property_readonly(
          "causes",
          [](const py::object& self) {
            return tuple_of(self.cast<const Explanation&>().explained.causes, self);
          },
          "The most probable first.")
      .def_property_readonly(
          "near_equal", [](const Explanation& self) { return self.explained.near_equal; },
          "So many of the first are about as probable as the first.")
      .def_property_readonly(
          "checks",
          [](const py::object& self) {
            return tuple_of(self.cast<const Explanation&>().explained.checks, self);
          },
          "The most useful for its time first.")
      .def_property_readonly("mends", tuple_from(&Explanation::mends),
                             "Of the leading causes, in their order.")
      .def_readonly("withheld", &Explanation::withheld,
                    "Why no grams are given of anything; empty otherwise.")
      .def_readonly("drift", &Explanation::change,
                    "The change over time; None where fewer than two readings have an age.")
      .def("to_dict", &dict_of, "What the command's JSON says.")
      .def("to_json", &json_of, py::kw_only(), py::arg("indent") = 2,
           "The command's JSON; indent -1 for one line.")
      .def(
          "__eq__",
          [](const Explanation& self, const Explanation& other) {
            return json_of(self, -1) == json_of(other, -1);
          },
          py::is_operator())
      .def("__str__", &text_of)
      .def("__repr__", &repr_of);
}

}  // namespace

void register_explanation(py::module_& module) {
  register_measurement(module);
  register_cause(module);
  register_checks(module);
  register_mend(module);
  register_change(module);
  register_answer_of_explain(module);
  module.def("explain", &explain_any, py::arg("formula"), py::arg("readings"),
             py::arg("tables") = py::none(), py::kw_only(), py::arg("target") = py::none(),
             py::arg("batch_g") = py::none(), py::arg("type") = py::none(),
             py::arg("use") = py::none(), py::arg("jurisdiction") = py::none(),
             py::arg("temperature_celsius") = 25.0, py::arg("activity") = "davies",
             py::arg("meter") = py::none(), py::arg("scale_g") = usual_scale_g,
             py::arg("adjusters") = py::none(), py::arg("tolerance") = 0.1,
             py::arg("method") = py::none(), py::arg("step") = py::none(),
             py::arg("buffers") = py::tuple(), py::arg("dilution") = py::none(),
             py::arg("sample_temperature_celsius") = py::none(), py::arg("compensated") = true,
             py::arg("findings") = py::tuple(), py::arg("allow_unlisted") = false, explain_doc);
}

}  // namespace counterion::bindings
