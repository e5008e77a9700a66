// SPDX-License-Identifier: MIT
#include "register_formula.hpp"
#include "register_solution.hpp"

#include <counterion/answer/check.hpp>
#include <counterion/report/json.hpp>
#include <counterion/report/text.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace counterion::bindings {
namespace {

constexpr auto check_doc = R"(The whole answer about one formula.

Parameters
----------
formula : Formula, path, mapping, or sequence
    The formula, or anything that `Formula` takes.
tables : Tables, optional
    The built-in tables unless given.
target : float, optional
    pH to aim for, 0 to 14, instead of the one that the window suggests.
batch_g : float, optional
    Size of the batch in grams, instead of the formula's.
type : str, optional
    Kind of product (face, body, hair, eye, lip, oral, …), instead of the formula's.
use : str, optional
    leave-on or rinse-off, instead of the formula's.
jurisdiction : str, optional
    Market whose limits apply (EU, US, …); all of them unless given.
temperature_celsius : float, optional
    Of the batch when it is read, 0 to 80.
activity : str, optional
    Model of ion activity, one of `counterion.activity_names`; "specific-ion" takes its coefficients
    from the tables.
adjusters : sequence of str, optional
    Acids and alkalis to give amounts for, by name; a usual handful unless given.
meter : float, optional
    What the meter or strip may be off by, pH units; 0.1 unless given.
remedies : bool, optional
    Look for remedies where something says stop.
without : sequence of str, optional
    No remedy brings these in: names of ingredients or classes.
keep : sequence of str, optional
    No remedy changes these.
allow_unlisted : bool, optional
    Take materials that no table lists; the answer then says that they were not judged.

Returns
-------
CheckResult

Raises
------
BadInput
    With every fault of the formula at once, or for options that mean nothing, with the valid words.
UnknownIngredient
    When no table knows an adjuster.

Notes
-----
Other threads run while it works. The answer is neither a safety nor a legal assessment: a
qualified assessor, the law of the place and a challenge test decide.

Examples
--------
>>> import counterion
>>> result = counterion.check({"Urea": 5, "Sodium lactate 60 %": 3, "Water": "q.s."}, use="leave-on")
>>> result.window.feasible
True
)";

constexpr auto result_doc = R"(The answer; immutable.

``str()`` is the text report of the command, `to_dict` what its JSON says. Two answers are equal
when those are. Positions of items are those of ``formula.items``.
)";

struct Asked {
  std::optional<double> target, batch_g;
  std::optional<std::string> type, use, jurisdiction;
  double temperature_celsius;
  std::string activity;
  std::optional<std::vector<std::string>> adjusters;
  double meter;
  bool remedies;
  std::vector<std::string> without, keep;
};

CheckOptions options_from(const Asked& asked) {
  CheckOptions options;
  if (asked.target) options.target = pH(*asked.target);
  options.batch_g = asked.batch_g;
  options.product_type = asked.type.value_or("");
  options.use = asked.use.value_or("");
  options.jurisdiction = asked.jurisdiction.value_or("");
  options.temperature = celsius(asked.temperature_celsius);
  options.activity = activity_from(asked.activity);
  if (asked.adjusters) options.adjusters = *asked.adjusters;
  options.meter_ph = asked.meter;
  options.remedies = asked.remedies;
  options.without = asked.without;
  options.keep = asked.keep;
  return options;
}

CheckResult check_any(const py::object& source, const Tables* tables, std::optional<double> target,
                      std::optional<double> batch_g, std::optional<std::string> type,
                      std::optional<std::string> use, std::optional<std::string> jurisdiction,
                      double temperature_celsius, std::string activity,
                      std::optional<std::vector<std::string>> adjusters, double meter, bool remedies,
                      std::vector<std::string> without, std::vector<std::string> keep, bool allow_unlisted) {
  const Formula formula = formula_from(source, tables, allow_unlisted);
  const CheckOptions options =
      options_from({target, batch_g, std::move(type), std::move(use), std::move(jurisdiction),
                    temperature_celsius, std::move(activity), std::move(adjusters), meter, remedies,
                    std::move(without), std::move(keep)});
  const py::gil_scoped_release others_may_run;
  return check(formula, tables ? *tables : Tables::built_in(), options);
}

std::string json_of(const CheckResult& self, int indent) {
  const py::gil_scoped_release others_may_run;
  return json_report(self, indent);
}

py::object dict_of(const CheckResult& self) {
  return py::module_::import("json").attr("loads")(json_of(self, -1));
}

std::string text_of(const CheckResult& self) {
  const py::gil_scoped_release others_may_run;
  return text_report(self);
}

std::string repr_of(const CheckResult& self) {
  const auto ph = self.prediction ? fmt::format("pH {:.2f} ({:.2f} to {:.2f})", self.prediction->ph,
                                                self.prediction->p05, self.prediction->p95)
                                  : std::string("no pH");
  const auto window = self.window.feasible
                          ? fmt::format("window {:.1f} to {:.1f}", self.window.low, self.window.high)
                          : std::string("no window");
  return fmt::format("<CheckResult {}: {}, {}, {}>", in_quotes(self.formula.name), ph, window,
                     self.stop() ? "stop" : "no stop");
}

void register_not_judged(py::module_& module) {
  py::class_<NotJudged>(module, "NotJudged", "Something that the answer is silent about.")
      .def_readonly("what", &NotJudged::what, "What that is.")
      .def_readonly("why", &NotJudged::why, "Why.")
      .def("__repr__", [](const NotJudged& self) { return "<NotJudged " + in_quotes(self.what) + ">"; });
}

void define_judgement(py::class_<CheckResult>& type) {
  const auto in_window = [](const char* name) {
    return [name](const py::object& self) {
      const py::object window = self.attr("window");
      return py::object(window.attr(name));
    };
  };
  type.def_readonly("window", &CheckResult::window, "The pH that every ingredient tolerates.")
      .def_property_readonly("conflicts", in_window("conflicts"), "As the window has them.")
      .def_property_readonly("least_removal", in_window("least_removal"), "As the window has it.")
      .def_property_readonly("cautions", tuple_from(&CheckResult::cautions), "Worst first.")
      .def_property_readonly("limits", tuple_from(&CheckResult::limits), "Legal maxima that were compared.")
      .def_property_readonly("preservation", [](const CheckResult& self) {
        py::tuple acids(self.preservation.acids.size());
        for (std::size_t i = 0; i < self.preservation.acids.size(); ++i) acids[i] = py::cast(self.preservation.acids[i]);
        return acids;
      }, "One for each acid preservative.")
      .def_readonly("preservation_system", &CheckResult::preservation, "Everything that works against microorganisms.")
      .def_readonly("electrolyte", &CheckResult::electrolyte, "Salts and charges; None without a water phase.")
      .def_property_readonly("remedies", tuple_from(&CheckResult::remedies),
                             "Changes that would mend what says stop, least change first.")
      .def_property_readonly("not_judged", tuple_from(&CheckResult::not_judged),
                             "What the answer is silent about, and why.")
      .def_property_readonly("stop", &CheckResult::stop,
                             "Whether something says stop: a caution, an exceeded limit, or no window.");
}

void register_remedy(py::module_& module) {
  py::class_<Change>(module, "Change", "One change of a formula.")
      .def_property_readonly("kind", [](const Change& self) {
        return std::string(change_kind_names.at(static_cast<std::size_t>(self.kind)));
      }, "another-form, lower-level, more-preservative, another-preservative, another-material, leave-out, two-products.")
      .def_property_readonly("items", tuple_from(&Change::items), "Positions of the lines that change.")
      .def_property_readonly("names", tuple_from(&Change::names), "Their names.")
      .def_readonly("percent_before", &Change::percent_before, "Of all of them.")
      .def_readonly("ingredient", &Change::ingredient, "Id of what takes their place; empty when nothing does.")
      .def_readonly("name", &Change::name, "Its name.")
      .def_readonly("percent_after", &Change::percent_after, "Percent of what takes their place.")
      .def("__repr__", [](const Change& self) {
        return fmt::format("<Change {}: {}>", change_kind_names.at(static_cast<std::size_t>(self.kind)),
                           fmt::join(self.names, ", "));
      });
  py::class_<RemedyOutcome>(module, "RemedyOutcome", "A product that a remedy leads to, judged again.")
      .def_readonly("formula", &RemedyOutcome::formula, "The changed formula.")
      .def_readonly("pH", &RemedyOutcome::ph, "Predicted, or None without a water phase.")
      .def_readonly("p05", &RemedyOutcome::p05, "Lower end of its 90 % interval, or None.")
      .def_readonly("p95", &RemedyOutcome::p95, "Upper end, or None.")
      .def_readonly("low", &RemedyOutcome::low, "Lower edge of its window, pH.")
      .def_readonly("high", &RemedyOutcome::high, "Upper edge of its window, pH.")
      .def_readonly("target", &RemedyOutcome::target, "pH to aim for, or None.")
      .def_readonly("adjustment_needed", &RemedyOutcome::adjustment_needed, "Whether it has to be adjusted.")
      .def_readonly("adjuster", &RemedyOutcome::adjuster, "That reaches the target; empty where none is needed.");
  py::class_<Remedy>(module, "Remedy",
                     "Changes that mend a formula. Each needs a new challenge test and assessment.")
      .def_property_readonly("changes", tuple_from(&Remedy::changes), "What to change.")
      .def_property_readonly("products", tuple_from(&Remedy::products), "One outcome, or two where the formula is split.")
      .def_readonly("cost", &Remedy::cost, "How much changes, in arbitrary units; the least comes first.")
      .def("__repr__", [](const Remedy& self) { return fmt::format("<Remedy: {} changes>", self.changes.size()); });
}

void define_amounts(py::class_<CheckResult>& type) {
  type.def_readonly("prediction", &CheckResult::prediction, "The pH it will have, or None.")
      .def_readonly("no_prediction", &CheckResult::no_prediction, "Why there is none; else empty.")
      .def_readonly("target", &CheckResult::target, "pH aimed for, the wish or the window's, or None.")
      .def_readonly("adjustment_needed", &CheckResult::adjustment_needed,
                    "False: leave it alone, or nothing can be aimed for.")
      .def_property_readonly("adjustments", tuple_from(&CheckResult::adjustments),
                             "One for each adjuster; empty when none is needed.");
}

void define_forms(py::class_<CheckResult>& type) {
  type.def_readonly("formula", &CheckResult::formula, "The formula as it was checked.")
      .def_readonly("tables", &CheckResult::tables, "Where everything was looked up.")
      .def("name_of", &CheckResult::name_of, py::arg("item"),
           "The name to show for a line of the formula; IndexError when there is no such line.")
      .def("to_dict", &dict_of, "The answer as the command's JSON has it; schemas/check.schema.json describes it.")
      .def("to_json", &json_of, py::kw_only(), py::arg("indent") = 2,
           "The same as text; `indent` spaces a level, -1 for one line.")
      .def("__eq__",
           [](const CheckResult& self, const CheckResult& other) {
             return json_of(self, -1) == json_of(other, -1);
           },
           py::is_operator())
      .def("__str__", &text_of)
      .def("__repr__", &repr_of);
}

}  // namespace

void register_answer(py::module_& module) {
  register_not_judged(module);
  register_remedy(module);
  py::class_<CheckResult> type(module, "CheckResult", result_doc);
  define_judgement(type);
  define_amounts(type);
  define_forms(type);
  module.def("check", &check_any, py::arg("formula"), py::kw_only(), py::arg("tables") = py::none(),
             py::arg("target") = py::none(), py::arg("batch_g") = py::none(), py::arg("type") = py::none(),
             py::arg("use") = py::none(), py::arg("jurisdiction") = py::none(),
             py::arg("temperature_celsius") = 25.0, py::arg("activity") = "davies",
             py::arg("adjusters") = py::none(), py::arg("meter") = 0.1, py::arg("remedies") = true,
             py::arg("without") = std::vector<std::string>(), py::arg("keep") = std::vector<std::string>(),
             py::arg("allow_unlisted") = false, check_doc);
}

}  // namespace counterion::bindings
