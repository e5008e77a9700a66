// SPDX-License-Identifier: MIT
#include "binding.hpp"

#if PYBIND11_VERSION_HEX >= 0x020D0000  // everything here is immutable after construction
#define COUNTERION_MODULE(name, module) PYBIND11_MODULE(name, module, pybind11::mod_gil_not_used())
#else
#define COUNTERION_MODULE(name, module) PYBIND11_MODULE(name, module)
#endif

// From the ground up: a floor's types must be known before another floor's signatures name them.
COUNTERION_MODULE(_core, module) {
  using namespace counterion::bindings;
  module.doc() = "The compiled part of counterion.";
  module.attr("__version__") = COUNTERION_VERSION;
  register_error(module);
  register_chemistry(module);
  register_neutral_form(module);
  register_interactions(module);
  register_solution(module);
  register_tables(module);
  register_formula(module);
  register_batch(module);
  register_judgement(module);
  register_dosing(module);
  register_buffer(module);
  register_answer(module);
  register_drift(module);
  register_batch_answer(module);
  register_explanation(module);
}
