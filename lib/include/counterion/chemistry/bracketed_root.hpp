// SPDX-License-Identifier: MIT
// Root of a function between two ends, the certain way.
#pragma once

namespace counterion::chemistry {

/// Any function of one number, by reference.
class RealFunction {
 public:
  template <class Function>
  explicit RealFunction(const Function& function) : function_(&function), call_(call<Function>) {}
  double operator()(double x) const { return call_(function_, x); }

 private:
  template <class Function>
  static double call(const void* function, double x) {
    return (*static_cast<const Function*>(function))(x);
  }
  const void* function_;
  double (*call_)(const void*, double);
};

/// Root of a function that changes sign between `low` and `high`, to the last digits.
double root_between(RealFunction f, double low, double high);

template <class Function>
double bracketed_root(const Function& f, double low, double high) {
  return root_between(RealFunction(f), low, high);
}

}  // namespace counterion::chemistry
