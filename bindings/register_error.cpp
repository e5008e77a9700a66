// SPDX-License-Identifier: MIT
// Faults and their places; the exceptions themselves are Python's own, in counterion/_errors.py.
#include "value.hpp"

#include <counterion/error.hpp>

#include <exception>

namespace counterion::bindings {
namespace {

constexpr auto place_doc = R"(Where in a file something stands.

Parameters
----------
file : str
    The file as it was named.
line, column : int
    Line and cell, counted from 1; 0 where not known.
)";

constexpr auto problem_doc = R"(One fault of an input.

``str()`` gives it as one line of plain text.

Parameters
----------
place : Place
    Where it stands.
found, expected : str
    What is there, and what would be right.
suggestions : sequence of str
    The nearest valid names, best first.

Examples
--------
>>> from counterion import Place, Problem
>>> print(Problem(Place("cream.csv", 4, 2), "'abc'", "a number"))
cream.csv, line 4, column 2: 'abc'; expected a number
)";

py::tuple parts_of_place(const Place& place) { return py::make_tuple(place.file, place.line, place.column); }

py::tuple parts_of_problem(const Problem& problem) {
  return py::make_tuple(problem.place, problem.found, problem.expected,
                        py::tuple(py::cast(problem.suggestions)));
}

Problem problem_from(Place place, std::string found, std::string expected,
                     std::vector<std::string> suggestions) {
  return {std::move(place), std::move(found), std::move(expected), std::move(suggestions)};
}

void register_place(py::module_& module) {
  py::class_<Place> type(module, "Place", place_doc);
  type.def(py::init([](std::string file, std::size_t line, std::size_t column) {
             return Place{std::move(file), line, column};
           }),
           py::arg("file") = "", py::arg("line") = 0, py::arg("column") = 0)
      .def_readonly("file", &Place::file, "The file as it was named.")
      .def_readonly("line", &Place::line, "Line, counted from 1; 0 where not known.")
      .def_readonly("column", &Place::column, "Cell, counted from 1; 0 where not known.")
      .def("__str__", [](const Place& self) { return describe(self); });
  define_value(type, "Place({0!r}, {1}, {2})", &parts_of_place, [](const py::tuple& parts) {
    return Place{parts[0].cast<std::string>(), parts[1].cast<std::size_t>(), parts[2].cast<std::size_t>()};
  });
}

void register_problem(py::module_& module) {
  py::class_<Problem> type(module, "Problem", problem_doc);
  type.def(py::init(&problem_from), py::arg("place") = Place{}, py::arg("found") = "",
           py::arg("expected") = "", py::arg("suggestions") = py::tuple())
      .def_readonly("place", &Problem::place, "Where it stands.")
      .def_readonly("found", &Problem::found, "What is there.")
      .def_readonly("expected", &Problem::expected, "What would be right.")
      .def_property_readonly("suggestions", tuple_from(&Problem::suggestions),
                             "The nearest valid names, best first.")
      .def("__str__", [](const Problem& self) { return describe(self); });
  define_value(type, "Problem({0!r}, {1!r}, {2!r}, {3!r})", &parts_of_problem, [](const py::tuple& parts) {
    return problem_from(parts[0].cast<Place>(), parts[1].cast<std::string>(), parts[2].cast<std::string>(),
                        parts[3].cast<std::vector<std::string>>());
  });
}

template <class... Facts>
void set_python_error(const char* name, Facts&&... facts) {
  const py::object type = py::module_::import("counterion._errors").attr(name);
  const py::object error = type(std::forward<Facts>(facts)...);
  PyErr_SetObject(type.ptr(), error.ptr());
}

py::tuple copies_of(const std::vector<Problem>& problems) {
  py::tuple copies(problems.size());
  for (std::size_t i = 0; i < problems.size(); ++i)
    copies[i] = py::cast(problems[i], py::return_value_policy::copy);
  return copies;
}

void translate(std::exception_ptr thrown) {
  try {
    if (thrown) std::rethrow_exception(thrown);
  } catch (const BadInput& error) {
    set_python_error("BadInput", copies_of(error.problems()));
  } catch (const UnknownIngredient& error) {
    set_python_error("UnknownIngredient", error.name(), py::tuple(py::cast(error.suggestions())));
  } catch (const Error& error) {
    set_python_error("Error", error.what());
  }
}

}  // namespace

void refuse(std::string found, std::string expected) {
  std::vector<Problem> problems(1);
  problems[0].found = std::move(found);
  problems[0].expected = std::move(expected);
  throw BadInput(std::move(problems));
}

void register_error(py::module_& module) {
  register_place(module);
  register_problem(module);
  py::register_local_exception_translator(&translate);
}

}  // namespace counterion::bindings
