// SPDX-License-Identifier: MIT
// What every register_*.cpp needs; one function for each floor, listed in module.cpp.
#pragma once

#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <string>
#include <string_view>
#include <vector>

namespace counterion::bindings {

namespace py = pybind11;

void register_error(py::module_& module);
void register_chemistry(py::module_& module);
void register_neutral_form(py::module_& module);
void register_interactions(py::module_& module);
void register_solution(py::module_& module);
void register_tables(py::module_& module);
void register_formula(py::module_& module);
void register_batch(py::module_& module);
void register_judgement(py::module_& module);
void register_dosing(py::module_& module);
void register_buffer(py::module_& module);
void register_answer(py::module_& module);
void register_drift(py::module_& module);
void register_batch_answer(py::module_& module);
void register_explanation(py::module_& module);

/// Throws BadInput with one fault.
[[noreturn]] void refuse(std::string found, std::string expected);

/// The elements as a tuple; objects are views that keep `owner` alive.
template <class Element>
py::tuple tuple_of(const std::vector<Element>& elements, py::handle owner) {
  py::tuple views(elements.size());
  for (std::size_t i = 0; i < elements.size(); ++i)
    views[i] = py::cast(elements[i], py::return_value_policy::reference_internal, owner);
  return views;
}

/// A getter that shows a vector member as a tuple.
template <class Owner, class Element>
auto tuple_from(std::vector<Element> Owner::*member) {
  return [member](const py::object& self) {
    return tuple_of(self.cast<const Owner&>().*member, self);
  };
}

/// Whether something is one of a kind of `collections.abc`.
inline bool is_a(const py::handle& object, const char* kind) {
  return py::isinstance(object, py::module_::import("collections.abc").attr(kind));
}

/// A name as Python writes it in quotes.
inline std::string in_quotes(std::string_view text) {
  return py::repr(py::str(text.data(), text.size())).cast<std::string>();
}

}  // namespace counterion::bindings
