// SPDX-License-Identifier: MIT
// What plain values do in Python: compare, hash, pickle, and print as the call that makes them.
#pragma once

#include "binding.hpp"

namespace counterion::bindings {

/// `parts` takes a value apart into a tuple, `restore` makes one from it, `text` shows it.
template <class Value, class Text, class Parts, class Restore>
void define_value_shown_by(py::class_<Value>& type, Text text, Parts parts, Restore restore) {
  type.def("__eq__",
           [parts](const Value& self, const Value& other) { return parts(self).equal(parts(other)); },
           py::is_operator())
      .def("__hash__", [parts](const Value& self) { return py::hash(parts(self)); })
      .def("__repr__", text)
      .def(py::pickle([parts](const Value& self) { return parts(self); }, restore));
}

/// The same, shown by a Python format string for the tuple.
template <class Value, class Parts, class Restore>
void define_value(py::class_<Value>& type, const char* format, Parts parts, Restore restore) {
  const auto text = [parts, format](const Value& self) { return py::str(format).format(*parts(self)); };
  define_value_shown_by(type, text, parts, restore);
}

}  // namespace counterion::bindings
