// SPDX-License-Identifier: MIT
#include "binding.hpp"

#include <counterion/batch/water_phase.hpp>
#include <counterion/error.hpp>
#include <counterion/report/ingredient.hpp>
#include <counterion/tables/tables.hpp>

#include <pybind11/stl/filesystem.h>

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
    Of several that it may mean, the usual one; see `meanings`.

Returns
-------
Ingredient or None
)";

constexpr auto from_folder_doc = R"(A whole set of tables that stands alone.

Parameters
----------
path : path
    A folder with the files of reference-tables.

Returns
-------
Tables

Raises
------
BadInput
    With file, line and column of every fault.
)";

constexpr auto with_folder_doc = R"(These tables with a user's own laid over them.

A row replaces all rows beneath of its fact: of ranges and levels the same subject and kind, of
constants the same substance and quantity, of composition the same ingredient, of the others the
same key. A row whose source (in sources: kind) is ``withdrawn`` takes them away. Columns that are
not needed may be left out; what is then not said has the source ``own``.

Parameters
----------
path : path
    A folder of CSV files named as in reference-tables, as many as there are.

Returns
-------
Tables
    New ones; the old stay as they are.

Raises
------
BadInput
    With file, line and column of every fault, or where the folder's datapackage.json states a
    newer major schema_version.
)";

constexpr auto meanings_doc = R"(What a name may mean, the usual meaning first.

Parameters
----------
name : str
    Id, INCI name, CAS number or another name; an id typed exactly means itself alone.

Returns
-------
tuple of Ingredient
    Empty when nobody has the name.

Examples
--------
>>> from counterion import Tables
>>> [one.id for one in Tables.built_in().meanings("citric acid")]
['citric-acid', 'citric-acid-monohydrate']
)";

constexpr auto about_doc = R"(All that is known of an ingredient, each number with its source and the id of its row.

Parameters
----------
name : str
    A name that means one ingredient.

Returns
-------
dict
    What `counterion ingredient NAME --json` writes: the rows of every table, the acidity or
    alkalinity that its declared pH means (meq/g), and its predicted pH in pure water.

Raises
------
UnknownIngredient
    With the nearest known names.
BadInput
    When the name may mean several ingredients, with the names that say which.
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
  constexpr std::array names = {"looked-up", "computed", "common-practice", "memory", "assumption", "own"};
  return names.at(static_cast<std::size_t>(reliability));
}

std::string name_of(tables::Phase phase) {
  constexpr std::array names = {"water", "oil", "either"};
  return names.at(static_cast<std::size_t>(phase));
}

py::tuple functions_of(const tables::Ingredient& self) {
  if (self.functions.empty()) return py::tuple();
  return py::tuple(py::str(text(self.functions)).attr("split")(";"));
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

py::tuple meanings(const py::object& self, const std::string& name) {
  py::list meant;
  for (const auto* ingredient : self.cast<const Tables&>().meanings(name))
    meant.append(py::cast(ingredient, py::return_value_policy::reference_internal, self));
  return py::tuple(meant);
}

py::dict about(const Tables& self, const std::string& name) {
  std::string json;
  {
    const py::gil_scoped_release others_may_run;
    json = json_report(facts_of(name, self), -1);
  }
  return py::module_::import("json").attr("loads")(json);
}

Tables from_folder(const std::filesystem::path& path) {
  const py::gil_scoped_release others_may_run;
  return Tables::from_folder(path);
}

Tables with_folder(const Tables& self, const std::filesystem::path& path) {
  const py::gil_scoped_release others_may_run;
  return self.with_folder(path);
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
                             "looked-up, computed, common-practice, memory, assumption, or own (of a user's own folder).")
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
      .def_property_readonly("functions", &functions_of, "What it is used for.")
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
                  "The tables compiled into the package; nothing is parsed.")
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
      .def_static("from_folder", &from_folder, py::arg("path"), from_folder_doc)
      .def("with_folder", &with_folder, py::arg("path"), with_folder_doc)
      .def("find", &Tables::find, py::arg("name"), inside, find_doc)
      .def("meanings", &meanings, py::arg("name"), meanings_doc)
      .def("about", &about, py::arg("name"), about_doc)
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
