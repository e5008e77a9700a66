// SPDX-License-Identifier: MIT
#include "binding.hpp"

#include <counterion/judgement/cautions.hpp>
#include <counterion/judgement/electrolyte.hpp>
#include <counterion/judgement/preservation.hpp>
#include <counterion/judgement/window.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <array>

namespace counterion::bindings {
namespace {

constexpr auto window_doc = R"(The span of pH that every ingredient of the formula tolerates.

``str()`` is one line for people.
)";

/// A conflict with its ranges in place of their positions.
struct ConflictView {
  WorkingRange a, b;
  double gap = 0;
};

py::tuple ranges_at(const py::object& self, const std::vector<std::size_t>& positions) {
  const auto& ranges = self.cast<const Window&>().ranges;
  py::tuple views(positions.size());
  for (std::size_t i = 0; i < positions.size(); ++i)
    views[i] = py::cast(ranges.at(positions[i]), py::return_value_policy::reference_internal, self);
  return views;
}

auto ranges_from(std::vector<std::size_t> Window::*positions) {
  return [positions](const py::object& self) {
    return ranges_at(self, self.cast<const Window&>().*positions);
  };
}

py::tuple conflicts_of(const Window& self) {
  py::tuple views(self.conflicts.size());
  for (std::size_t i = 0; i < self.conflicts.size(); ++i) {
    const auto& conflict = self.conflicts[i];
    views[i] = py::cast(ConflictView{self.ranges.at(conflict.a), self.ranges.at(conflict.b), conflict.gap});
  }
  return views;
}

py::tuple ways_out(const py::object& self) {
  const auto& removals = self.cast<const Window&>().removals;
  py::tuple ways(removals.size());
  for (std::size_t i = 0; i < removals.size(); ++i)
    ways[i] = py::make_tuple(removals[i].low, removals[i].high, removals[i].weight, ranges_at(self, removals[i].left_out));
  return ways;
}

std::string names_of(const Window& window, const std::vector<std::size_t>& positions) {
  std::vector<std::string> names;
  for (const auto position : positions) names.push_back(window.ranges.at(position).name);
  return names.empty() ? "nothing in the formula" : fmt::format("{}", fmt::join(names, ", "));
}

std::string text_of_gap(const WorkingRange& a, const WorkingRange& b, double gap) {
  return fmt::format("{} ends {:.1f} pH below the start of {}", a.name, gap, b.name);
}

std::string text_of(const Window& self) {
  if (self.feasible)
    return fmt::format("Window({:.1f} to {:.1f}{}; low: {}; high: {})", self.low, self.high,
                       self.target ? fmt::format(", target {:.1f}", *self.target) : "",
                       names_of(self, self.low_bound_by), names_of(self, self.high_bound_by));
  std::vector<std::string> gaps;
  for (const auto& conflict : self.conflicts)
    gaps.push_back(text_of_gap(self.ranges.at(conflict.a), self.ranges.at(conflict.b), conflict.gap));
  return fmt::format("Window(none; {})", fmt::join(gaps, "; "));
}

std::string text_of(const WorkingRange& self) {
  const auto end = [](const std::optional<double>& ph) { return ph ? fmt::format("{:.3g}", *ph) : "open"; };
  return fmt::format("<WorkingRange {} ({}): {} to {}>", in_quotes(self.name), self.kind, end(self.minimum),
                     end(self.maximum));
}

py::object span_of(const std::optional<Interval>& interval) {
  if (!interval) return py::none();
  return py::make_tuple(interval->low, interval->high);
}

void register_other_bounds(py::module_& module) {
  py::class_<OtherBounds>(module, "OtherBounds", "Another source's bounds of the same fact.")
      .def_readonly("minimum", &OtherBounds::minimum, "pH, or None.")
      .def_readonly("maximum", &OtherBounds::maximum, "pH, or None.")
      .def_readonly("condition", &OtherBounds::condition, "When it holds; may be empty.")
      .def_readonly("source", &OtherBounds::source, "Key of the source.")
      .def_readonly("row_id", &OtherBounds::row_id, "Cites the row.")
      .def("__repr__", [](const OtherBounds& self) { return "<OtherBounds " + self.row_id + ">"; });
}

void register_range(py::module_& module) {
  register_other_bounds(module);
  py::class_<WorkingRange>(module, "WorkingRange", "A working range in use: of an ingredient, a class, or the product.")
      .def_property_readonly("item", [](const WorkingRange& self) {
        return self.items.empty() ? std::nullopt : std::optional(self.items.front());
      }, "Position of the formula's first line that it is about; None for the product itself.")
      .def_property_readonly("items", tuple_from(&WorkingRange::items), "Positions of all of them.")
      .def_readonly("name", &WorkingRange::name, "As people read it.")
      .def_readonly("kind", &WorkingRange::kind, "stability, irritation, preservation, skin, …")
      .def_readonly("hard", &WorkingRange::hard, "Whether it makes the window; soft ones only pull the target.")
      .def_readonly("minimum", &WorkingRange::minimum, "pH, or None.")
      .def_readonly("ideal_low", &WorkingRange::ideal_low, "pH, or None.")
      .def_readonly("ideal_high", &WorkingRange::ideal_high, "pH, or None.")
      .def_readonly("maximum", &WorkingRange::maximum, "pH, or None.")
      .def_readonly("why", &WorkingRange::why, "What happens outside.")
      .def_readonly("condition", &WorkingRange::condition, "When it holds; may be empty.")
      .def_property_readonly("others", tuple_from(&WorkingRange::others), "What other sources say of it.")
      .def_readonly("source", &WorkingRange::source, "Key of the source.")
      .def_readonly("row_id", &WorkingRange::row_id, "Cites the row.")
      .def("__repr__", [](const WorkingRange& self) { return text_of(self); });
}

void register_conflict(py::module_& module) {
  py::class_<ConflictView>(module, "Conflict", "Two working ranges that no pH satisfies together.")
      .def_readonly("a", &ConflictView::a, "The range that ends lower.")
      .def_readonly("b", &ConflictView::b, "The range that begins higher.")
      .def_readonly("gap", &ConflictView::gap, "pH units between them.")
      .def("__repr__", [](const ConflictView& self) {
        return "<Conflict: " + text_of_gap(self.a, self.b, self.gap) + ">";
      });
}

void register_window(py::module_& module) {
  py::class_<Window>(module, "Window", window_doc)
      .def_readonly("feasible", &Window::feasible, "Whether there is one.")
      .def_property_readonly("low", [](const Window& self) { return self.feasible ? std::optional(self.low) : std::nullopt; },
                             "Lower edge, pH; None when there is no window.")
      .def_property_readonly("high", [](const Window& self) { return self.feasible ? std::optional(self.high) : std::nullopt; },
                             "Upper edge, pH; None when there is no window.")
      .def_readonly("target", &Window::target, "Where it is best to aim, pH; None when there is no window.")
      .def_property_readonly("low_bound_by", ranges_from(&Window::low_bound_by), "The ranges that set the lower edge.")
      .def_property_readonly("high_bound_by", ranges_from(&Window::high_bound_by), "The ranges that set the upper edge.")
      .def_property_readonly("next_low", ranges_from(&Window::next_low), "What would set the lower edge if those were gone.")
      .def_property_readonly("next_high", ranges_from(&Window::next_high), "What would set the upper edge if those were gone.")
      .def_property_readonly("ranges", tuple_from(&Window::ranges), "Every range that applies.")
      .def_property_readonly("conflicts", &conflicts_of, "Pairs that do not meet, widest gap first.")
      .def_property_readonly("least_removal",
                             [](const py::object& self) {
                               return ranges_at(self, self.cast<const Window&>().least_removal().left_out);
                             },
                             "The least that would have to go for a window; empty when there is one.")
      .def_property_readonly("ways_out", &ways_out,
                             "Every way to leave out just enough, least weight first: (low, high, weight, ranges).")
      .def_readonly("conflict_count", &Window::conflict_count,
                    "Of all pairs that do not meet; of more than 200 ranges only the widest is listed.")
      .def_property_readonly("firm", [](const Window& self) { return span_of(self.firm); },
                             "(low, high) where all sources agree, or None.")
      .def_property_readonly("widest", [](const Window& self) { return span_of(self.widest); },
                             "(low, high) where for each range some source agrees, or None.")
      .def_property_readonly("margin", [](const Window& self) { return self.margin.total(); },
                             "What the target was asked to keep off the edges: meter, dosing and drift, pH units.")
      .def("__str__", [](const Window& self) { return text_of(self); })
      .def("__repr__", [](const Window& self) { return text_of(self); });
}

std::string name_of(tables::Severity severity) {
  constexpr std::array names = {"note", "caution", "stop"};
  return names.at(static_cast<std::size_t>(severity));
}

std::string name_of(Holding holding) {
  constexpr std::array names = {"there", "until-adjusted", "possibly", "elsewhere-in-window"};
  return names.at(static_cast<std::size_t>(holding));
}

void register_caution(py::module_& module) {
  py::class_<FiredCaution>(module, "FiredCaution", "A caution that applies to the formula.")
      .def_readonly("id", &FiredCaution::id, "Its key in the tables.")
      .def_property_readonly("severity", [](const FiredCaution& self) { return name_of(self.severity); },
                             "note, caution or stop.")
      .def_property_readonly("items", tuple_from(&FiredCaution::items), "Positions of the lines it is about.")
      .def_property_readonly("before_adjusting_only",
                             [](const FiredCaution& self) { return self.holding == Holding::until_adjusted; },
                             "Whether it holds at the predicted pH and no longer at the target.")
      .def_property_readonly("holds", [](const FiredCaution& self) { return name_of(self.holding); },
                             "there, until-adjusted, possibly (within the prediction's interval) or elsewhere-in-window.")
      .def_readonly("minimum_pH", &FiredCaution::minimum_ph, "Where it begins to hold, or None.")
      .def_readonly("maximum_pH", &FiredCaution::maximum_ph, "Where it ends to hold, or None.")
      .def_readonly("what_happens", &FiredCaution::what_happens, "In words.")
      .def_readonly("what_to_do", &FiredCaution::what_to_do, "In words.")
      .def_readonly("source", &FiredCaution::source, "Key of the source.")
      .def_readonly("row_id", &FiredCaution::row_id, "Cites the row.")
      .def("__repr__", [](const FiredCaution& self) {
        return fmt::format("<FiredCaution {}: {}>", name_of(self.severity), self.id);
      });
}

void register_limit(py::module_& module) {
  py::class_<CheckedLimit>(module, "CheckedLimit",
                           "A level that was compared with a legal maximum; the current legal text decides.")
      .def_property_readonly("items", tuple_from(&CheckedLimit::items), "Positions of the lines that count.")
      .def_readonly("percent", &CheckedLimit::percent, "As the limit counts it.")
      .def_readonly("maximum_percent", &CheckedLimit::maximum_percent, "The maximum.")
      .def_readonly("expressed_as", &CheckedLimit::expressed_as,
                    "Substance it is counted as; empty for the ingredient itself.")
      .def_readonly("market", &CheckedLimit::market, "Whose limit it is.")
      .def_readonly("product", &CheckedLimit::product, "Kind of product it is for.")
      .def_readonly("condition", &CheckedLimit::condition, "When it holds; may be empty.")
      .def_readonly("law", &CheckedLimit::law, "False: an expert panel's or an authority's advice.")
      .def_readonly("exceeded", &CheckedLimit::exceeded, "Whether the level is above it.")
      .def_readonly("date_seen", &CheckedLimit::date_seen, "Day on which the source was read; empty for memory.")
      .def_readonly("source", &CheckedLimit::source, "Key of the source.")
      .def_readonly("row_id", &CheckedLimit::row_id, "Cites the row.")
      .def("__repr__", [](const CheckedLimit& self) {
        return fmt::format("<CheckedLimit {}: {:.3g} % of {:.3g} %{}>", self.market, self.percent,
                           self.maximum_percent, self.exceeded ? ", exceeded" : "");
      });
}

void register_preservative(py::module_& module) {
  using State = PreservativeState;
  py::class_<State>(module, "PreservativeState",
                    "How much of an acid preservative is in its active form. Only a challenge test shows\n"
                    "that a product is preserved.")
      .def_property_readonly("item", [](const State& self) { return self.items.front(); },
                             "Position of the first line that brings it.")
      .def_property_readonly("items", tuple_from(&State::items), "Positions of all of them.")
      .def_readonly("acid", &State::acid, "Id of the substance.")
      .def_readonly("acid_name", &State::acid_name, "Its name.")
      .def_readonly("percent_as_acid", &State::percent_as_acid, "Of the formula, all of it counted as acid.")
      .def_readonly("share_at_predicted", &State::share_at_predicted,
                    "Share that is undissociated and free in the water at the predicted pH, 0 to 1.")
      .def_readonly("share_at_target", &State::share_at_target, "The same at the target, or None.")
      .def_readonly("share_held", &State::share_held,
                    "Share that oil and micelles hold, at the target or else at the predicted pH, 0 to 1.")
      .def_readonly("active_at_predicted", &State::active_at_predicted,
                    "Undissociated acid at the predicted pH, percent of the water phase.")
      .def_readonly("active_at_target", &State::active_at_target, "The same at the target, or None.")
      .def_readonly("least_active", &State::least_active,
                    "Published inhibition figure, percent of the water phase, or None.")
      .def_readonly("least_active_upper", &State::least_active_upper, "Upper end of that figure, or None.")
      .def_readonly("highest_pH", &State::highest_ph, "Where the active amount falls to that, or None.")
      .def_readonly("firm_highest_pH", &State::firm_highest_ph, "Where it falls to the upper end, or None.")
      .def_readonly("percent_not_dissolved", &State::percent_out,
                    "Percent of the formula beyond its solubility, at the target or else as it stands.")
      .def_property_readonly("unknown_losses", tuple_from(&State::unknown_losses),
                             "Where more of it may go, how much being in no table.")
      .def_property_readonly("curve", [](const State& self) {
        py::tuple points(self.curve.size());
        for (std::size_t i = 0; i < self.curve.size(); ++i)
          points[i] = py::make_tuple(self.curve[i].ph, self.curve[i].percent);
        return points;
      }, "(pH, percent of the water phase that is active) from pH 3 to 8.")
      .def_readonly("condition", &State::condition, "Against what that figure holds; may be empty.")
      .def_readonly("source", &State::source, "Key of the source of that figure.")
      .def_readonly("row_id", &State::row_id, "Cites the row.")
      .def("__repr__", [](const State& self) {
        return fmt::format("<PreservativeState {}: {:.3g} % undissociated>", self.acid,
                           100 * self.share_at_predicted);
      });
}

void register_system(py::module_& module) {
  py::class_<DosedPreservative>(module, "DosedPreservative", "A preservative that is no acid, against its usual dose.")
      .def_readonly("item", &DosedPreservative::item, "Position of the formula's line.")
      .def_readonly("percent", &DosedPreservative::percent, "Of the formula.")
      .def_readonly("usual_low", &DosedPreservative::usual_low, "Percent, or None.")
      .def_readonly("usual_high", &DosedPreservative::usual_high, "Percent, or None.")
      .def_property_readonly("in_usual_dose", &DosedPreservative::enough, "Whether there is at least the usual dose.")
      .def("__repr__", [](const DosedPreservative& self) { return fmt::format("<DosedPreservative {:.3g} %>", self.percent); });
  py::class_<Preservation>(module, "Preservation",
                           "Everything that works against microorganisms. Only a challenge test (ISO 11930) shows\n"
                           "that a product is preserved.")
      .def_property_readonly("acids", tuple_from(&Preservation::acids), "One for each acid preservative.")
      .def_property_readonly("others", tuple_from(&Preservation::others), "The other preservatives.")
      .def_property_readonly("spectrum", [](const Preservation& self) {
        py::dict groups;
        for (const auto& coverage : self.spectrum) groups[py::str(std::string(coverage.group))] = py::tuple(py::cast(coverage.items));
        return groups;
      }, "Positions of the lines known to act on each group of microorganisms.")
      .def_readonly("fraction_at_predicted", &Preservation::combined_at_predicted,
                    "Sum of the acids' fractions of their figures, or None.")
      .def_readonly("fraction_at_target", &Preservation::combined_at_target, "The same at the target, or None.")
      .def_readonly("highest_pH", &Preservation::combined_highest_ph, "Where that sum falls to 1, or None.")
      .def_readonly("water_activity", &Preservation::water_activity, "Estimate, or None.")
      .def_property_readonly("lower_risk", [](const Preservation& self) {
        py::tuple reasons(self.lower_risk.size());
        for (std::size_t i = 0; i < self.lower_risk.size(); ++i) reasons[i] = py::str(self.lower_risk[i].what);
        return reasons;
      }, "Reasons for a lower microbiological risk (ISO 29621), which is not the same as preserved.")
      .def("__repr__", [](const Preservation& self) {
        return fmt::format("<Preservation: {} acids, {} others>", self.acids.size(), self.others.size());
      });
}

void register_electrolyte(py::module_& module) {
  py::class_<ThickenerState>(module, "ThickenerState", "A thickener and the salt that it stands in.")
      .def_readonly("item", &ThickenerState::item, "Position of the formula's line.")
      .def_readonly("starts", &ThickenerState::starts, "mol/kg of a 1:1 salt where it begins to thin.")
      .def_readonly("complete", &ThickenerState::complete, "Where it is thin, or None.")
      .def_readonly("condition", &ThickenerState::condition, "Of these figures; may be empty.")
      .def_readonly("source", &ThickenerState::source, "Key of the source.")
      .def_readonly("row_id", &ThickenerState::row_id, "Cites the row.");
  py::class_<Electrolyte>(module, "Electrolyte", "Salts and charges of a formula.")
      .def_readonly("load", &Electrolyte::load, "Ionic strength of the water phase, mol/kg.")
      .def_property_readonly("thickeners", tuple_from(&Electrolyte::thickeners), "Those with a known tolerance.")
      .def_property_readonly("thinned", [](const Electrolyte& self) {
        std::vector<std::size_t> items;
        for (const auto& state : self.thickeners)
          if (self.thins(state)) items.push_back(state.item);
        return py::tuple(py::cast(items));
      }, "Positions of the thickeners that stand in more salt than they bear.")
      .def_property_readonly("anionic", tuple_from(&Electrolyte::anionic), "Positions of negatively charged materials.")
      .def_property_readonly("cationic", tuple_from(&Electrolyte::cationic), "Positions of positively charged ones.");
}

}  // namespace

void register_judgement(py::module_& module) {
  register_system(module);
  register_electrolyte(module);
  register_range(module);
  register_conflict(module);
  register_window(module);
  register_caution(module);
  register_limit(module);
  register_preservative(module);
}

}  // namespace counterion::bindings
