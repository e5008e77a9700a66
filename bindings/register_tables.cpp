// SPDX-License-Identifier: MIT
#include "binding.hpp"

#include <counterion/batch/water_phase.hpp>
#include <counterion/error.hpp>
#include <counterion/tables/tables.hpp>

#include <array>

namespace counterion::bindings {
namespace {

constexpr auto tables_doc = R"(The reference tables: immutable, safe to share between threads.

Examples
--------
>>> from counterion import Tables
>>> tables = Tables.built_in()
>>> tables["urea"].inci
'Urea'
>>> "unobtainium" in tables
False
)";

constexpr auto find_doc = R"(The ingredient of a name, or None.

Parameters
----------
name : str
    Id, INCI name, CAS number or another name, whatever its case, spacing, hyphens and diacritics.

Returns
-------
Ingredient or None
)";

constexpr auto getitem_doc = R"(The ingredient of a name, as `find` has it.

Raises
------
UnknownIngredient
    With the nearest known names.
)";

constexpr auto nearest_doc = R"(Nearest known names by edit distance, best first.

Parameters
----------
name : str
    What was written.
most : int, optional
    How many at most.

Returns
-------
tuple of str
)";

std::string text(std::string_view view) { return std::string(view); }

std::string name_of(tables::Reliability reliability) {
  constexpr std::array names = {"looked-up", "computed", "common-practice", "memory", "assumption"};
  return names.at(static_cast<std::size_t>(reliability));
}

std::string name_of(tables::Phase phase) {
  constexpr std::array names = {"water", "oil", "either"};
  return names.at(static_cast<std::size_t>(phase));
}

const tables::Ingredient& ingredient_of(const Tables& self, const std::string& name) {
  if (const auto* found = self.find(name)) return *found;
  throw UnknownIngredient(name, self.nearest_names(name));
}

py::dict row_counts(const Tables& self) {
  py::dict counts;
  for (const auto& [table, rows] : self.row_counts()) counts[py::str(table)] = rows;
  return counts;
}

const Tables& built_in() {
  const py::gil_scoped_release others_may_run;
  return Tables::built_in();
}

void register_provenance(py::module_& module) {
  using tables::Provenance;
  py::class_<Provenance>(module, "Provenance", "Where a row's figure stands in print, and how sure that is.")
      .def_readonly("source", &Provenance::source, "Key of the source.")
      .def_readonly("locator", &Provenance::locator, "Page, table or entry.")
      .def_readonly("as_printed", &Provenance::as_printed, "The figure as printed there.")
      .def_property_readonly("reliability", [](const Provenance& self) { return name_of(self.reliability); },
                             "looked-up, computed, common-practice, memory or assumption.")
      .def_readonly("note", &Provenance::note, "What else is to be said.")
      .def_readonly("row_id", &Provenance::row_id, "Cites the row itself.")
      .def("__repr__", [](const Provenance& self) { return "<Provenance " + in_quotes(self.row_id) + ">"; });
}

void register_source(py::module_& module) {
  using tables::Source;
  py::class_<Source>(module, "Source", "A source that rows cite.")
      .def_readonly("key", &Source::key, "What rows call it.")
      .def_readonly("kind", &Source::kind, "regulation, standard, handbook, paper, …")
      .def_readonly("citation", &Source::citation, "In full.")
      .def_readonly("date_seen", &Source::date_seen, "When it was read; may be empty.")
      .def("__repr__", [](const Source& self) { return "<Source " + in_quotes(self.key) + ">"; })
      .def("__str__", [](const Source& self) { return self.citation; });
}

void register_ingredient(py::module_& module) {
  using tables::Ingredient;
  py::class_<Ingredient>(module, "Ingredient", "A raw material as the tables have it.")
      .def_readonly("id", &Ingredient::id, "Its key in the tables.")
      .def_readonly("inci", &Ingredient::inci, "INCI name.")
      .def_readonly("cas", &Ingredient::cas, "CAS number; may be empty.")
      .def_property_readonly("functions", tuple_from(&Ingredient::functions), "What it is used for.")
      .def_property_readonly("phase", [](const Ingredient& self) { return name_of(self.phase); },
                             "water, oil or either.")
      .def_readonly("use_minimum_percent", &Ingredient::use_minimum_percent,
                    "Usual least level, percent of the formula, or None.")
      .def_readonly("use_maximum_percent", &Ingredient::use_maximum_percent,
                    "Usual highest level, percent of the formula, or None.")
      .def_readonly("provenance", &Ingredient::provenance, "Where the row comes from.")
      .def("__repr__", [](const Ingredient& self) { return "<Ingredient " + in_quotes(self.id) + ">"; });
}

}  // namespace

void register_tables(py::module_& module) {
  register_provenance(module);
  register_source(module);
  register_ingredient(module);
  constexpr auto inside = py::return_value_policy::reference_internal;
  py::class_<Tables>(module, "Tables", tables_doc)
      .def_static("built_in", &built_in, py::return_value_policy::copy,
                  "The tables compiled into the package, parsed at first use.")
      .def_property_readonly("schema_version", [](const Tables& self) { return text(self.schema_version()); },
                             "Version of the tables' shape.")
      .def_property_readonly("version", [](const Tables& self) { return text(self.version()); },
                             "Version of the content.")
      .def_property_readonly("sha256", [](const Tables& self) { return text(self.sha256()); },
                             "SHA-256 over all tables, in hexadecimal.")
      .def_property_readonly("row_counts", &row_counts, "How many rows each table has, by name.")
      .def_property_readonly("interactions",
                             [](const Tables& self) {
                               return std::const_pointer_cast<Interactions>(interactions_of(self));
                             },
                             "Interaction coefficients of ions, by ids of substances, for `Solution`.")
      .def("find", &Tables::find, py::arg("name"), inside, find_doc)
      .def("__getitem__", &ingredient_of, py::arg("name"), inside, getitem_doc)
      .def("__contains__",
           [](const Tables& self, const std::string& name) { return self.find(name) != nullptr; },
           py::arg("name"), "Whether `find` finds it.")
      .def("nearest_names",
           [](const Tables& self, const std::string& name, std::size_t most) {
             return py::tuple(py::cast(self.nearest_names(name, most)));
           },
           py::arg("name"), py::arg("most") = 3, nearest_doc)
      .def("source", &Tables::source, py::arg("key"), inside, "The source of this key, or None.")
      .def("__repr__", [](const Tables& self) { return "<Tables " + text(self.version()) + ">"; });
}

}  // namespace counterion::bindings
