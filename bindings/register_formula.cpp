// SPDX-License-Identifier: MIT
#include "register_formula.hpp"

#include <counterion/formula/read.hpp>

#include <pybind11/stl/filesystem.h>

#include <cmath>

namespace counterion::bindings {
namespace {

constexpr auto formula_doc = R"(What the person wrote, every name looked up; immutable.

Parameters
----------
source : path, mapping, or sequence
    A CSV or JSON file; or ``{"Urea": 5, "Water": "q.s."}``; or a list of ``(name, percent)``
    pairs or of mappings with the keys ingredient, percent (or grams, or to_100), phase,
    strength_percent, declared_pH (low, high), declared_at_percent, note; or a mapping with
    the keys name, batch_g, type, use and items. Percent is by weight of the whole, "q.s."
    fills up to 100. Text is read by `from_text`.
tables : Tables, optional
    Where names are looked up; the built-in tables unless given.
allow_unlisted : bool, optional
    Take materials that no table lists; the answer then says that they were not judged.

Raises
------
BadInput
    With every fault at once: unknown names with the nearest known ones, numbers that are none,
    a second q.s., a file that cannot be read, …
TypeError
    When the source is none of these.

Examples
--------
>>> from counterion import Formula
>>> formula = Formula([("Urea", 5), ("Glycerin", 3), ("Water", "q.s.")])
>>> formula.items[2].percent
92.0
)";

constexpr auto from_text_doc = R"(A formula from the text of a CSV or JSON file.

Parameters
----------
text : str
    The text.
file : str, optional
    What messages call it.
tables : Tables, optional
    Where names are looked up; the built-in tables unless given.
allow_unlisted : bool, optional
    Take materials that no table lists.

Returns
-------
Formula

Raises
------
BadInput
    With every fault at once, with line and column.

Examples
--------
>>> from counterion import Formula
>>> Formula.from_text("ingredient,percent\nurea,5\nwater,q.s.").total_percent
100.0
)";

constexpr auto accepted = "a formula is a path, a mapping, or a sequence of (name, percent) or mappings";

bool fills_up(const py::handle& amount) {
  if (!py::isinstance<py::str>(amount)) return false;
  std::string word;
  for (const char c : py::str(amount.attr("lower")()).cast<std::string>())
    if (c != '.' && c != ' ') word += c;
  return word == "qs" || word == "to100" || word == "qsto100";
}

/// What JSON has for a number; other things go in as text, for the reader to refuse at their place.
py::object number(const py::handle& amount) {
  if (amount.is_none() || !py::hasattr(amount, "__float__") || py::isinstance<py::bool_>(amount))
    return py::str(amount);
  const py::float_ value(py::reinterpret_borrow<py::object>(amount));
  return std::isfinite(value.cast<double>()) ? py::object(value) : py::object(py::str(amount));
}

void set_amount(py::dict& item, const py::handle& amount) {
  if (fills_up(amount)) item["to_100"] = true;
  else item["percent"] = number(amount);
}

py::dict pair_item(const py::handle& name, const py::handle& amount) {
  py::dict item;
  item["ingredient"] = name;
  set_amount(item, amount);
  return item;
}

py::dict mapping_item(const py::handle& mapping) {
  py::dict item;
  for (const auto& key : mapping) {
    const py::object value = mapping[key];
    const auto word = py::str(key).cast<std::string>();
    if (word == "percent") set_amount(item, value);
    else if (word == "grams" || word == "strength_percent" || word == "declared_at_percent")
      item[key] = value.is_none() ? value : number(value);
    else item[key] = value;
  }
  return item;
}

py::dict item_of(const py::handle& line) {
  if (is_a(line, "Mapping")) return mapping_item(line);
  if (is_a(line, "Sequence") && !py::isinstance<py::str>(line) && py::len(line) == 2)
    return pair_item(line[py::int_(0)], line[py::int_(1)]);
  throw py::type_error(std::string(accepted) + "; a line of it is " + std::string(py::repr(line)));
}

py::list items_of(const py::handle& lines) {
  py::list items;
  if (is_a(lines, "Mapping"))
    for (const auto& name : lines) items.append(pair_item(name, lines[name]));
  else if (is_a(lines, "Iterable") && !py::isinstance<py::str>(lines) && !py::isinstance<py::bytes>(lines))
    for (const auto& line : lines) items.append(item_of(line));
  else
    throw py::type_error(std::string(accepted) + ", not " + std::string(py::repr(lines)));
  return items;
}

/// The source in the shape of a JSON formula.
py::dict shape_of(const py::handle& source) {
  py::dict shape;
  const bool whole = is_a(source, "Mapping") && source.contains("items") &&
                     is_a(source["items"], "Collection");
  if (whole)
    for (const auto& key : source) shape[key] = source[key];
  shape["items"] = items_of(whole ? py::object(source["items"]) : py::reinterpret_borrow<py::object>(source));
  return shape;
}

Formula read_text(const std::string& text, const std::string& file, const Tables* tables,
                  bool allow_unlisted) {
  const py::gil_scoped_release others_may_run;
  return read_formula(text, file, tables ? *tables : Tables::built_in(), {allow_unlisted});
}

Formula read_path(const py::object& source, const Tables* tables, bool allow_unlisted) {
  const auto path = source.cast<std::filesystem::path>();
  if (path.native().find('\n') != std::filesystem::path::string_type::npos)
    refuse("a text of several lines", "the path of a file; Formula.from_text reads texts");
  const py::gil_scoped_release others_may_run;
  return read_formula_file(path, tables ? *tables : Tables::built_in(), {allow_unlisted});
}

void set_if(py::dict& shape, const char* key, const std::string& value) {
  if (!value.empty()) shape[key] = value;
}

py::object declared_ph(const FormulaItem& item) {
  if (!item.declared_ph_low || !item.declared_ph_high) return py::none();
  return py::make_tuple(*item.declared_ph_low, *item.declared_ph_high);
}

py::dict dict_of(const FormulaItem& item) {
  py::dict shape;
  shape["ingredient"] = item.written;
  if (item.fills_to_100) shape["to_100"] = true;
  else shape["percent"] = item.percent;
  set_if(shape, "phase", item.phase);
  set_if(shape, "note", item.note);
  if (item.strength_percent) shape["strength_percent"] = *item.strength_percent;
  if (const auto span = declared_ph(item); !span.is_none()) shape["declared_pH"] = py::list(span);
  if (item.declared_at_percent) shape["declared_at_percent"] = *item.declared_at_percent;
  return shape;
}

py::dict dict_of(const Formula& formula) {
  py::dict shape;
  py::list items;
  for (const auto& item : formula.items) items.append(dict_of(item));
  set_if(shape, "name", formula.name);
  set_if(shape, "type", formula.product_type);
  set_if(shape, "use", formula.use);
  if (formula.batch_stated) shape["batch_g"] = formula.batch_g;
  shape["items"] = items;
  return shape;
}

void register_diagnostic(py::module_& module) {
  py::class_<Diagnostic>(module, "Diagnostic", "Something said about a formula that does not stop the work.")
      .def_readonly("place", &Diagnostic::place, "Where it stands.")
      .def_readonly("message", &Diagnostic::message, "What is to be said.")
      .def("__str__",
           [](const Diagnostic& self) {
             const auto where = describe(self.place);
             return where.empty() ? self.message : where + ": " + self.message;
           })
      .def("__repr__", [](const Diagnostic& self) { return "<Diagnostic " + in_quotes(self.message) + ">"; });
}

void register_item(py::module_& module) {
  py::class_<FormulaItem>(module, "FormulaItem", "One line of a formula.")
      .def_readonly("written", &FormulaItem::written, "The name as the person wrote it.")
      .def_property_readonly("ingredient",
                             [](const FormulaItem& self) {
                               return self.listed() ? std::optional(self.ingredient) : std::nullopt;
                             },
                             "Id in the tables; None for a material in no table.")
      .def_readonly("percent", &FormulaItem::percent, "Of the whole formula by weight, 0 to 100.")
      .def_readonly("fills_to_100", &FormulaItem::fills_to_100, "Whether it was written as q.s.")
      .def_readonly("phase", &FormulaItem::phase, "As written; may be empty.")
      .def_readonly("note", &FormulaItem::note, "As written; may be empty.")
      .def_readonly("strength_percent", &FormulaItem::strength_percent,
                    "Active matter as declared on the line, or None.")
      .def_property_readonly("declared_pH", &declared_ph,
                             "pH of the material as declared on the line, (low, high), or None.")
      .def_readonly("declared_at_percent", &FormulaItem::declared_at_percent,
                    "Mass percent in water that the declared pH is for, or None.")
      .def_readonly("place", &FormulaItem::place, "Where it stands in the file.")
      .def("to_dict", [](const FormulaItem& self) { return dict_of(self); },
           "The line as `Formula` takes it.")
      .def("__repr__", [](const FormulaItem& self) {
        return "<FormulaItem " + in_quotes(self.written) + ", " +
               std::string(py::str("{:.6g} %").format(self.percent)) + ">";
      });
}

std::string repr_of(const Formula& self) {
  return "<Formula " + in_quotes(self.name) + ", " + std::to_string(self.items.size()) + " lines, " +
         std::string(py::str("{:.6g} %").format(self.total_percent)) + ">";
}

}  // namespace

Formula formula_from(const py::object& source, const Tables* tables, bool allow_unlisted) {
  if (py::isinstance<Formula>(source)) return source.cast<Formula>();
  if (py::isinstance<py::str>(source) || py::hasattr(source, "__fspath__"))
    return read_path(source, tables, allow_unlisted);
  const auto dumps = py::module_::import("json").attr("dumps");
  const auto text = dumps(shape_of(source), py::arg("ensure_ascii") = false).cast<std::string>();
  return read_text(text, "formula", tables, allow_unlisted);
}

void register_formula(py::module_& module) {
  register_diagnostic(module);
  register_item(module);
  py::class_<Formula>(module, "Formula", formula_doc)
      .def(py::init(&formula_from), py::arg("source"), py::kw_only(), py::arg("tables") = py::none(),
           py::arg("allow_unlisted") = false)
      .def_static("from_text", &read_text, py::arg("text"), py::kw_only(), py::arg("file") = "text",
                  py::arg("tables") = py::none(), py::arg("allow_unlisted") = false, from_text_doc)
      .def_readonly("name", &Formula::name, "As written; may be empty.")
      .def_readonly("type", &Formula::product_type, "Kind of product (face, hair, …); empty when not stated.")
      .def_readonly("use", &Formula::use, "leave-on or rinse-off; empty when not stated.")
      .def_readonly("batch_g", &Formula::batch_g, "Size of the batch in grams; 100 when not stated.")
      .def_readonly("batch_stated", &Formula::batch_stated, "Whether the size was stated.")
      .def_property_readonly("items", tuple_from(&Formula::items), "The lines, in the order of the source.")
      .def_readonly("total_percent", &Formula::total_percent, "Sum of the lines, q.s. filled up.")
      .def_property_readonly("diagnostics", tuple_from(&Formula::diagnostics),
                             "What was guessed or is odd, in the order of the source.")
      .def("to_dict", [](const Formula& self) { return dict_of(self); },
           "The formula as `Formula` takes it, as JSON files have it.")
      .def("__eq__",
           [](const Formula& self, const Formula& other) { return dict_of(self).equal(dict_of(other)); },
           py::is_operator())
      .def("__repr__", &repr_of);
}

}  // namespace counterion::bindings
