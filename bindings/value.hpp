// SPDX-License-Identifier: MIT
// What plain values do in Python: compare, hash, pickle, and print as the call that makes them.
#pragma once

#include "binding.hpp"

namespace counterion::bindings {

/// `parts` takes a value apart into a tuple, `restore` makes one from it, `format` is a Python format
/// string for the tuple.
template <class Value, class Parts, class Restore>
void define_value(py::class_<Value>& type, const char* format, Parts parts, Restore restore) {
  type.def("__eq__",
           [parts](const Value& self, const Value& other) { return parts(self).equal(parts(other)); },
           py::is_operator())
      .def("__hash__", [parts](const Value& self) { return py::hash(parts(self)); })
      .def("__repr__",
           [parts, format](const Value& self) { return py::str(format).format(*parts(self)); })
      .def(py::pickle([parts](const Value& self) { return parts(self); }, restore));
}

}  // namespace counterion::bindings
