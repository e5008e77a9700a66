// SPDX-License-Identifier: MIT
#include "readings.hpp"
#include "register_formula.hpp"
#include "register_solution.hpp"

#include <counterion/report/batch.hpp>

#include <fmt/format.h>

#include <bit>

namespace counterion::bindings {
namespace {

constexpr auto predict_doc = R"(The pH of a batch, how sure that is, what decides it and which measurement would help; no plan.

Parameters
----------
formula : Formula, path, mapping, or sequence
    The formula, or anything that `Formula` takes.
tables : Tables, optional
    The built-in tables unless given.
readings : path or sequence, optional
    What was read of the batch, in its order: pH values (0 to 14), ``(pH, [(adjuster, grams), ...])`` with
    what was weighed in since the reading before, or mappings with the key pH and where wanted added,
    age_days (since mixing, 0 or more; none: quick changes are over, and before a reading that says its age:
    0), dilution as (product_g, water_g), temperature_celsius (0 to 80, of the reading) and half_pH (90 %
    half width of a reading coarser than a meter's). Readings of a product of 30 days or more are judged
    against the forecast, not learned from. An adjuster is a name, with its strength if that is not the usual one ("citric acid 20 %"), or ``(name, stock_percent)``;
    grams are of stock, 0 to 1e9. A path is that of a log: a CSV table with what was added, grams and pH.
target : float, optional
    pH to aim for, 0 to 14, instead of the one that the window suggests.
batch_g : float, optional
    Size of the batch in grams, instead of the formula's.
type, use, jurisdiction : str, optional
    As for `check`.
temperature_celsius : float, optional
    Of the batch when it is read, 0 to 80.
activity : str, optional
    Model of ion activity, one of `counterion.activity_names`.
meter : float, optional
    What the meter or strip may be off by, 0 to 2 pH units, the same for all readings.
scale_g : float, optional
    What the scale resolves, 0.000001 to 1000 g.
draws : int, optional
    For the distribution of the pH: a power of two, 2 to 1048576.
hold : mapping, optional
    Which buffer would hold the pH? ``{"acid_mmol_per_kg": 5}``, ``{"base_mmol_per_kg": 10}`` or both, each 0
    to 1000 per kg of the batch; and where wanted "pH", above 0 to 14, instead of the target, and "most_shift",
    pH units that each of them may move it by, 0.001 to 2, 0.2 unless given.
storage : sequence of (float, float), optional
    How the product is kept: (days, celsius), one stay after another, days 0 or more, -20 to 80 °C; the last
    may have 0 days and then goes on. Two years at 25 °C unless given.
days : sequence of float, optional
    At which the forecast looks, 0 or more, ascending; it chooses unless given.
ruled_out : bool, optional
    The maker has checked that nothing was left out, doubled or swapped: take readings however unlikely.
allow_unlisted : bool, optional
    Take materials that no table lists; the answer then says that they were not judged.

Returns
-------
BatchAnswer

Raises
------
BadInput
    With every fault of the formula, the readings or the log at once, or for options that mean nothing.
UnknownIngredient
    When no table knows what was added.
TypeError
    When readings or `hold` are none of these.

Notes
-----
Other threads run while it works. The answer is neither a safety nor a legal assessment: a
qualified assessor, the law of the place and a challenge test decide.

Examples
--------
>>> import counterion
>>> wash = {"Decyl Glucoside 50 %": 16, "Sodium benzoate": 0.5, "Water": "q.s."}
>>> before = counterion.predict(wash)
>>> after = counterion.predict(wash, readings=[11.6])
>>> after.check.prediction.p95 - after.check.prediction.p05 < before.check.prediction.p95 - before.check.prediction.p05
True
>>> before.measurements[0].what
'the batch itself'
)";

constexpr auto adjust_doc = R"(What to weigh into a batch in which steps, by what was read of it.

Weigh the first addition of the plan only; read; ask again with that reading.

Parameters
----------
formula, tables, readings, target, batch_g, type, use, jurisdiction
    As for `predict`.
temperature_celsius, activity, meter, scale_g, draws, hold, storage, days, ruled_out, allow_unlisted
    As for `predict`; the forecast is that of the batch as the plan leaves it. Unless `ruled_out`, no grams are given where a reading was hardly possible.
adjusters : sequence of str, optional
    Acids and alkalis to give amounts for, by name, with the stock's strength if that is not the usual one
    ("citric acid 50 %"); every adjuster of the tables unless given.
tolerance : float, optional
    How near to the target is near enough, 0.01 to 2 pH units.
neutralise : float, optional
    Aim for the pH at which this share, above 0 and below 1, of an acid polymer is neutralised, instead of a target.

Returns
-------
BatchAnswer

Raises
------
BadInput, UnknownIngredient, TypeError
    As `predict`; BadInput also with every unknown adjuster of `adjusters`, with the nearest known names.

Notes
-----
As `predict`.

Examples
--------
>>> import counterion
>>> wash = {"Decyl Glucoside 50 %": 16, "Sodium benzoate": 0.5, "Water": "q.s."}
>>> asked = dict(target=4.8, batch_g=2000, adjusters=["citric acid 20 %"])
>>> first = counterion.adjust(wash, readings=[11.6], **asked)
>>> addition = first.plan.additions[0]
>>> addition.low_pH < addition.expected_pH < addition.high_pH
True
>>> second = counterion.adjust(wash, readings=[11.6, (5.2, [("citric acid 20 %", addition.grams)])], **asked)
>>> second.plan.additions[0].grams < addition.grams
True
)";

constexpr auto titrate_doc = R"(What a titration of a small sample says about the batch; the sample does not go back into it.

Parameters
----------
formula
    As for `predict`.
readings : path or sequence
    Two or more, as for `predict`: those of the sample, with what was added to it in between.
sample_g : float, optional
    Size of the sample in grams, more than 0 and less than the batch; needed unless the log's header says it.
titrant : str, optional
    What was added on lines of a log that do not name it ("citric-acid 10 %").
tables, target, batch_g, type, use, jurisdiction, temperature_celsius, activity
    As for `predict`.
meter, scale_g, draws, hold, storage, days, allow_unlisted
    As for `predict`.
adjusters, tolerance, neutralise
    As for `adjust`.

Returns
-------
BatchAnswer
    Its amounts are for the batch less the sample.

Raises
------
BadInput, UnknownIngredient, TypeError
    As `adjust`; BadInput also without the size of the sample, or with fewer than two readings.

Notes
-----
As `predict`.

Examples
--------
>>> import counterion
>>> wash = {"Decyl Glucoside 50 %": 16, "Sodium benzoate": 0.5, "Water": "q.s."}
>>> steps = [11.6, (6.0, [("citric-acid 10 %", 0.8)]), (5.0, [("citric-acid 10 %", 0.3)])]
>>> answer = counterion.titrate(wash, steps, sample_g=50, batch_g=2000, target=4.8)
>>> answer.check.formula.batch_g
1950.0
)";

constexpr auto answer_doc = R"(The answer while a batch is made; immutable.

`check` is about the batch as it stands, with all that was weighed in. ``str()`` is the text report of the
command, `to_dict` what its JSON says. Two answers are equal when those are.
)";

/// The answer, which question it answers, and what was said about the log.
struct ShownAnswer : BatchAnswer {
  bool doses = false;
  std::vector<Diagnostic> diagnostics;
};

/// A slip with the name of its line.
struct NamedSlip : Slip {
  std::string name;
};

// What was asked

using Text = std::optional<std::string>;
using Number = std::optional<double>;
using Names = std::optional<std::vector<std::string>>;

using Stays = std::vector<std::pair<double, double>>;
using Days = std::vector<double>;

/// What all three questions are asked with.
struct Asked {
  const py::object& source;
  const Tables* tables;
  Number target, batch_g;
  const Text &type, &use, &jurisdiction;
  double temperature_celsius;
  const std::string& activity;
  double meter, scale_g;
  std::size_t draws;
  const py::object& hold;
  const Stays& storage;
  const Days& days;
  bool allow_unlisted;

  const Tables& lookup() const { return tables ? *tables : Tables::built_in(); }
};

/// What the questions that dose are asked with besides.
struct Dosing {
  const Names& adjusters;
  double tolerance;
  Number neutralise;
};

void set_aim(BufferAim& aim, const std::string& key, double value) {
  if (key == "acid_mmol_per_kg") aim.acid_mmol_per_kg = value;
  else if (key == "base_mmol_per_kg") aim.base_mmol_per_kg = value;
  else if (key == "most_shift") aim.most_shift = value;
  else if (key != "pH") refuse("hold has the key " + in_quotes(key), "acid_mmol_per_kg, base_mmol_per_kg, pH, most_shift");
  else if (value > 0 && value <= 14) aim.ph = value;
  else refuse(fmt::format("hold has pH {}", value), "above 0, 14 at most");
}

std::optional<BufferAim> aim_from(const py::object& hold) {
  if (hold.is_none()) return std::nullopt;
  if (!is_a(hold, "Mapping"))
    throw py::type_error("hold is a mapping such as {\"acid_mmol_per_kg\": 5}, not " + std::string(py::repr(hold)));
  BufferAim aim;
  for (const auto& key : hold) {
    const auto word = py::str(key).cast<std::string>();
    set_aim(aim, word, number_from(hold[key], "hold's " + word));
  }
  return aim;
}

std::size_t draws_from(std::size_t draws) {
  if (!std::has_single_bit(draws) || draws < 2 || draws > (1u << 20))
    refuse(fmt::format("{} draws", draws), "a power of two, 2 to 1048576");
  return draws;
}

BatchOptions options_from(const Asked& asked) {
  BatchOptions options;
  if (asked.target) options.target = pH(*asked.target);
  options.batch_g = asked.batch_g;
  options.product_type = asked.type.value_or("");
  options.use = asked.use.value_or("");
  options.jurisdiction = asked.jurisdiction.value_or("");
  options.temperature = celsius(asked.temperature_celsius);
  options.activity = activity_from(asked.activity);
  options.meter_ph = asked.meter;
  options.scale_g = asked.scale_g;
  options.draws = draws_from(asked.draws);
  options.hold = aim_from(asked.hold);
  for (const auto& [days, celsius] : asked.storage) options.storage.push_back({days, celsius});
  options.days = asked.days;
  return options;
}

void add_dosing(const Dosing& dosing, BatchOptions& options) {
  options.every_adjuster = !dosing.adjusters;
  if (dosing.adjusters) options.adjusters = *dosing.adjusters;
  options.tolerance_ph = dosing.tolerance;
  options.neutralise = dosing.neutralise;
}

/// The readings, and the size of the batch where only the log says it.
void add_readings(Readings& readings, BatchOptions& options) {
  options.readings = std::move(readings.taken);
  if (!options.batch_g) options.batch_g = readings.batch_g;
}

/// As `add_readings`; those of a sample are no readings of the batch.
void add_batch_readings(Readings& readings, BatchOptions& options) {
  if (readings.sample_g)
    refuse(fmt::format("the log is that of a sample of {:g} g", *readings.sample_g),
           "a log of the batch; titrate answers for samples");
  add_readings(readings, options);
}

using Question = BatchAnswer (*)(const Formula&, const Tables&, const BatchOptions&);

ShownAnswer answer_of(Question question, const Asked& asked, const BatchOptions& options, Readings readings) {
  const Formula formula = formula_from(asked.source, asked.tables, asked.allow_unlisted);
  const py::gil_scoped_release others_may_run;
  return {question(formula, asked.lookup(), options), question != &foresee, std::move(readings.diagnostics)};
}

ShownAnswer predict_any(const py::object& source, const Tables* tables, const py::object& taken, Number target, Number batch_g,
                        const Text& type, const Text& use, const Text& jurisdiction, double temperature_celsius,
                        const std::string& activity, double meter, double scale_g, std::size_t draws, const py::object& hold,
                        const Stays& storage, const Days& days, bool ruled_out, bool allow_unlisted) {
  const Asked asked{source, tables, target, batch_g, type, use, jurisdiction, temperature_celsius, activity, meter, scale_g,
                    draws, hold, storage, days, allow_unlisted};
  auto options = options_from(asked);
  options.ruled_out = ruled_out;
  auto readings = readings_from(taken, asked.lookup());
  add_batch_readings(readings, options);
  return answer_of(&foresee, asked, options, std::move(readings));
}

ShownAnswer adjust_any(const py::object& source, const Tables* tables, const py::object& taken, Number target, Number batch_g,
                       const Text& type, const Text& use, const Text& jurisdiction, double temperature_celsius,
                       const std::string& activity, double meter, double scale_g, std::size_t draws, const py::object& hold,
                       const Stays& storage, const Days& days, bool ruled_out, bool allow_unlisted, const Names& adjusters, double tolerance, Number neutralise) {
  const Asked asked{source, tables, target, batch_g, type, use, jurisdiction, temperature_celsius, activity, meter, scale_g,
                    draws, hold, storage, days, allow_unlisted};
  auto options = options_from(asked);
  options.ruled_out = ruled_out;
  add_dosing({adjusters, tolerance, neutralise}, options);
  auto readings = readings_from(taken, asked.lookup());
  add_batch_readings(readings, options);
  return answer_of(&adjust, asked, options, std::move(readings));
}

ShownAnswer titrate_any(const py::object& source, const py::object& taken, Number sample_g, const std::string& titrant,
                        const Tables* tables, Number target, Number batch_g, const Text& type, const Text& use,
                        const Text& jurisdiction, double temperature_celsius, const std::string& activity, double meter,
                        double scale_g, std::size_t draws, const py::object& hold, const Stays& storage,
                        const Days& days, bool allow_unlisted, const Names& adjusters,
                        double tolerance, Number neutralise) {
  const Asked asked{source, tables, target, batch_g, type, use, jurisdiction, temperature_celsius, activity, meter, scale_g,
                    draws, hold, storage, days, allow_unlisted};
  auto options = options_from(asked);
  add_dosing({adjusters, tolerance, neutralise}, options);
  auto readings = readings_from(taken, asked.lookup(), titrant);
  options.sample_g = sample_g ? sample_g : readings.sample_g;
  add_readings(readings, options);
  return answer_of(&titrate, asked, options, std::move(readings));
}

// How it is shown

std::string json_of(const ShownAnswer& self, int indent) {
  const py::gil_scoped_release others_may_run;
  return json_report(self, indent);
}

py::object dict_of(const ShownAnswer& self) { return py::module_::import("json").attr("loads")(json_of(self, -1)); }

std::string text_of(const ShownAnswer& self) {
  const py::gil_scoped_release others_may_run;
  return self.doses ? dosing_report(self) : foreseen_report(self);
}

std::string step_text(const ShownAnswer& self) {
  if (!self.plan) return "no plan";
  if (self.plan->done) return "done";
  if (self.plan->additions.empty()) return "nothing to add";
  return fmt::format("{:.4g} g {}", self.plan->additions.front().grams, self.plan->adjuster.ingredient);
}

std::string repr_of(const ShownAnswer& self) {
  const auto& prediction = self.check.prediction;
  const auto ph = prediction ? fmt::format("pH {:.2f} ({:.2f} to {:.2f})", prediction->ph, prediction->p05, prediction->p95)
                             : std::string("no pH");
  return fmt::format("<BatchAnswer {}: {}, {} readings{}>", in_quotes(self.check.formula.name), ph,
                     self.learned.readings.size(), self.doses ? ", " + step_text(self) : std::string());
}

// The parts

void register_measurement(py::module_& module) {
  py::class_<Measurement>(module, "Measurement", "A measurement that would make the predicted pH surer.")
      .def_readonly("what", &Measurement::what, "What to measure.")
      .def_readonly("how", &Measurement::how, "How, and where to write it.")
      .def_readonly("item", &Measurement::item, "Position of the formula's line that it is about, or None.")
      .def_readonly("p05", &Measurement::p05, "Lower end of the 90 % interval of the batch's pH that would be left.")
      .def_readonly("p95", &Measurement::p95, "Upper end of the same.")
      .def("__repr__", [](const Measurement& self) {
        return fmt::format("<Measurement {}: {:.2f} to {:.2f}>", in_quotes(self.what), self.p05, self.p95);
      });
}

void register_slip(py::module_& module) {
  py::class_<NamedSlip>(module, "Slip", "A slip with one line of the formula that would read as the batch does.")
      .def_readonly("item", &NamedSlip::item, "Position of the line.")
      .def_readonly("name", &NamedSlip::name, "Its name.")
      .def_property_readonly("slip", [](const NamedSlip& self) { return self.doubled ? "doubled" : "left-out"; },
                             "doubled or left-out.")
      .def_readonly("pH", &NamedSlip::ph, "What the batch would then have.")
      .def("__repr__", [](const NamedSlip& self) {
        return fmt::format("<Slip {} {}: pH {:.2f}>", in_quotes(self.name), self.doubled ? "doubled" : "left-out", self.ph);
      });
}

void register_curve_step(py::module_& module) {
  py::class_<CurveStep>(module, "CurveStep", "So much of an adjuster, and the pH to expect with it.")
      .def_readonly("grams", &CurveStep::grams, "Of stock, for the batch.")
      .def_readonly("pH", &CurveStep::ph, "The middle.")
      .def_readonly("low_pH", &CurveStep::low, "Lower end of its 90 % interval.")
      .def_readonly("high_pH", &CurveStep::high, "Upper end of the same.")
      .def("__repr__", [](const CurveStep& self) { return fmt::format("<CurveStep {:.3g} g: pH {:.2f}>", self.grams, self.ph); });
}

void register_work_step(py::module_& module) {
  py::class_<WorkStep>(module, "WorkStep", "A step of the work around the adjusting.")
      .def_readonly("what", &WorkStep::what, "What to do.")
      .def_readonly("why", &WorkStep::why, "Why.")
      .def_readonly("source", &WorkStep::source, "Key of the source; may be empty.")
      .def_readonly("row_id", &WorkStep::row_id, "Cites the row; may be empty.")
      .def("__repr__", [](const WorkStep& self) { return "<WorkStep " + in_quotes(self.what) + ">"; });
}

using AnswerType = py::class_<ShownAnswer>;

/// A getter that shows a vector of the answer as a tuple.
template <class Element>
auto parts_from(std::vector<Element> BatchAnswer::*member) {
  return [member](const py::object& self) { return tuple_of(self.cast<const ShownAnswer&>().*member, self); };
}

py::tuple slips_of(const ShownAnswer& self) {
  const auto& slips = self.learned.slips;
  py::tuple named(slips.size());
  for (std::size_t i = 0; i < slips.size(); ++i) named[i] = py::cast(NamedSlip{slips[i], self.check.name_of(slips[i].item)});
  return named;
}

/// None where there were no readings.
auto where_read(Learned Calibration::*member) {
  return [member](const ShownAnswer& self) {
    return self.learned.readings.empty() ? std::nullopt : std::optional(self.learned.*member);
  };
}

void define_learned(AnswerType& type) {
  type.def_property_readonly("readings",
                             [](const py::object& self) {
                               return tuple_of(self.cast<const ShownAnswer&>().learned.readings, self);
                             },
                             "Each as it was expected from what was known before it, in the order in which they were taken.")
      .def_property_readonly("unexplained_meq_per_kg", where_read(&Calibration::unexplained_meq_per_kg),
                             "Charge that the middle of the tables' values lacks at the last reading, per kg of batch; None "
                             "without readings.")
      .def_property_readonly("extra_buffer_mmol_per_kg", where_read(&Calibration::extra_buffer_mmol_per_kg),
                             "Buffering beyond the tables' at the last reading, per pH and kg of batch; None without readings.")
      .def_property_readonly("beyond_tables", [](const ShownAnswer& self) { return self.learned.beyond_tables; },
                             "Whether a reading lies where the tables' ± hardly allow it.")
      .def_property_readonly("slips", &slips_of, "That would read as the first reading does, where that lies beyond.")
      .def_property_readonly("diagnostics", tuple_from(&ShownAnswer::diagnostics), "What was guessed or is odd in a log.");
}

void define_foreseen(AnswerType& type) {
  type.def_readonly("check", &ShownAnswer::check, "The batch as it stands, predicted and judged.")
      .def_readonly("distribution", &ShownAnswer::sampled, "Of its pH; None without a water phase.")
      .def_property_readonly("chance_in_window",
                             [](const ShownAnswer& self) {
                               return self.sampled ? std::optional(self.chance_in_window) : std::nullopt;
                             },
                             "That its pH lies in the window, 0 to 1; None without a water phase.")
      .def_property_readonly("measurements", parts_from(&BatchAnswer::measurements), "The most useful first.")
      .def_property_readonly("release",
                             [](const ShownAnswer& self) -> std::optional<std::pair<double, double>> {
                               if (!self.release) return std::nullopt;
                               return std::pair(self.release->low, self.release->high);
                             },
                             "Readings at which the batch may go out, (low, high), or None.")
      .def_property_readonly("order_of_work", parts_from(&BatchAnswer::work), "Steps around the adjusting, in their order.")
      .def_readonly("drift", &ShownAnswer::keeping, "Whether it will stay; None without a water phase.")
      .def_property_readonly("series", parts_from(&BatchAnswer::series),
                             "Later readings against the forecast from those before them.")
      .def_readonly("buffers", &ShownAnswer::buffers, "That would hold the pH; None unless asked for.");
}

py::object chosen(const py::object& self) {
  const auto& answer = self.cast<const ShownAnswer&>();
  if (!answer.chosen) return py::none();
  return py::cast(answer.check.adjustments.at(*answer.chosen), py::return_value_policy::reference_internal, self);
}

void define_plan(AnswerType& type) {
  type.def_property_readonly("adjustment", &chosen, "The one that plan, curve and undo are about, or None.")
      .def_readonly("plan", &ShownAnswer::plan, "What to weigh in which steps, or None.")
      .def_property_readonly("curve", parts_from(&BatchAnswer::curve), "Of the chosen adjuster, from nothing to past the target.")
      .def_readonly("undo", &ShownAnswer::undo, "Were it to go half a pH too far; or None.");
}

void define_forms(AnswerType& type) {
  type.def("to_dict", &dict_of, "The answer as the command's JSON has it; that of `check` with more members.")
      .def("to_json", &json_of, py::kw_only(), py::arg("indent") = 2,
           "The same as text; `indent` spaces a level, -1 for one line.")
      .def("__eq__", [](const ShownAnswer& self, const ShownAnswer& other) { return json_of(self, -1) == json_of(other, -1); },
           py::is_operator())
      .def("__str__", &text_of)
      .def("__repr__", &repr_of);
}

// The questions

void define_predict(py::module_& module) {
  module.def("predict", &predict_any, py::arg("formula"), py::arg("tables") = py::none(), py::kw_only(),
             py::arg("readings") = py::tuple(), py::arg("target") = py::none(), py::arg("batch_g") = py::none(),
             py::arg("type") = py::none(), py::arg("use") = py::none(), py::arg("jurisdiction") = py::none(),
             py::arg("temperature_celsius") = 25.0, py::arg("activity") = "davies", py::arg("meter") = 0.1,
             py::arg("scale_g") = usual_scale_g, py::arg("draws") = 4096, py::arg("hold") = py::none(),
             py::arg("storage") = Stays(), py::arg("days") = Days(),
             py::arg("ruled_out") = false, py::arg("allow_unlisted") = false, predict_doc);
}

void define_adjust(py::module_& module) {
  module.def("adjust", &adjust_any, py::arg("formula"), py::arg("tables") = py::none(), py::kw_only(),
             py::arg("readings") = py::tuple(), py::arg("target") = py::none(), py::arg("batch_g") = py::none(),
             py::arg("type") = py::none(), py::arg("use") = py::none(), py::arg("jurisdiction") = py::none(),
             py::arg("temperature_celsius") = 25.0, py::arg("activity") = "davies", py::arg("meter") = 0.1,
             py::arg("scale_g") = usual_scale_g, py::arg("draws") = 4096, py::arg("hold") = py::none(),
             py::arg("storage") = Stays(), py::arg("days") = Days(),
             py::arg("ruled_out") = false, py::arg("allow_unlisted") = false, py::arg("adjusters") = py::none(),
             py::arg("tolerance") = 0.1, py::arg("neutralise") = py::none(), adjust_doc);
}

void define_titrate(py::module_& module) {
  module.def("titrate", &titrate_any, py::arg("formula"), py::arg("readings"), py::arg("sample_g") = py::none(), py::kw_only(),
             py::arg("titrant") = "", py::arg("tables") = py::none(), py::arg("target") = py::none(),
             py::arg("batch_g") = py::none(), py::arg("type") = py::none(), py::arg("use") = py::none(),
             py::arg("jurisdiction") = py::none(), py::arg("temperature_celsius") = 25.0, py::arg("activity") = "davies",
             py::arg("meter") = 0.1, py::arg("scale_g") = usual_scale_g, py::arg("draws") = 4096, py::arg("hold") = py::none(),
             py::arg("storage") = Stays(), py::arg("days") = Days(),
             py::arg("allow_unlisted") = false, py::arg("adjusters") = py::none(), py::arg("tolerance") = 0.1,
             py::arg("neutralise") = py::none(), titrate_doc);
}

}  // namespace

void register_batch_answer(py::module_& module) {
  register_measurement(module);
  register_slip(module);
  register_curve_step(module);
  register_work_step(module);
  AnswerType type(module, "BatchAnswer", answer_doc);
  define_foreseen(type);
  define_learned(type);
  define_plan(type);
  define_forms(type);
  define_predict(module);
  define_adjust(module);
  define_titrate(module);
}

}  // namespace counterion::bindings
