// SPDX-License-Identifier: MIT
#include "readings.hpp"

#include <counterion/dosing/amounts.hpp>
#include <counterion/reading/log_readings.hpp>

#include <pybind11/stl/filesystem.h>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <limits>

namespace counterion::bindings {
namespace {

constexpr auto accepted =
    "readings are the path of a log, or a sequence of pH, of (pH, [(adjuster, grams), ...]) or of mappings with the keys pH "
    "and added, age_days, dilution, temperature_celsius, half_pH";

[[noreturn]] void refuse_type(const char* wanted, const py::handle& got) {
  throw py::type_error(fmt::format("{}, not {}", wanted, std::string(py::repr(got))));
}

bool is_text(const py::handle& object) { return py::isinstance<py::str>(object) || py::isinstance<py::bytes>(object); }

/// A list or tuple of two.
bool is_pair(const py::handle& object) { return is_a(object, "Sequence") && !is_text(object) && py::len(object) == 2; }

/// Something to go through in its own order.
bool is_ordered(const py::handle& object) {
  return is_a(object, "Iterable") && !is_text(object) && !is_a(object, "Mapping") && !is_a(object, "Set");
}

Adjuster with_stock(const std::string& name, double percent, const Place& place, const Tables& tables) {
  if (!(percent > 0 && percent <= 100))
    throw BadInput({{place, fmt::format("a stock of {} %", percent), "more than 0 %, 100 % at most", {}}});
  const auto whole = fmt::format("{} {:g} %", name, percent);
  if (!tables.meanings(whole).empty()) return adjuster_named(whole, tables);
  Adjuster adjuster = adjuster_named(name, tables);
  adjuster.stock_percent = percent;
  return adjuster;
}

/// A name with or without a strength, or (name, percent of it in the stock).
Adjuster adjuster_from(const py::handle& source, const Place& place, const Tables& tables) {
  if (py::isinstance<py::str>(source)) return adjuster_named(source.cast<std::string>(), tables);
  if (!is_pair(source) || !py::isinstance<py::str>(source[py::int_(0)]))
    refuse_type("an adjuster is a name or (name, stock_percent)", source);
  return with_stock(source[py::int_(0)].cast<std::string>(), number_from(source[py::int_(1)], "stock_percent"), place, tables);
}

std::vector<Portion> portions_from(const py::handle& source, const Place& place, const Tables& tables) {
  if (!is_ordered(source)) refuse_type("what was added is a sequence of (adjuster, grams)", source);
  std::vector<Portion> portions;
  for (const auto& one : source) {
    if (!is_pair(one)) refuse_type("an addition is (adjuster, grams)", one);
    portions.push_back({adjuster_from(one[py::int_(0)], place, tables), number_from(one[py::int_(1)], "grams")});
  }
  return portions;
}

constexpr std::array reading_keys{"pH", "added", "age_days", "dilution", "temperature_celsius", "half_pH"};

/// (grams of product, grams of water).
Dilution dilution_from(const py::handle& source, const Tables& tables) {
  if (!is_pair(source)) refuse_type("a dilution is (product_g, water_g)", source);
  Dilution dilution;
  dilution.product_g = number_from(source[py::int_(0)], "product_g");
  dilution.water_g = number_from(source[py::int_(1)], "water_g");
  dilution.carbon_dioxide_mol_per_kg = carbon_dioxide_of_air(tables);
  return dilution;
}

std::optional<double> number_under(const py::handle& source, const char* key) {
  if (!source.contains(key) || source[key].is_none()) return std::nullopt;
  return number_from(source[key], key);
}

void require_known_keys(const py::handle& source, const Place& place) {
  for (const auto& key : source)
    if (const auto word = py::str(key).cast<std::string>(); !std::ranges::count(reading_keys, word))
      throw BadInput({{place, "the key " + in_quotes(word), fmt::format("one of {}", fmt::join(reading_keys, ", ")), {}}});
  if (!source.contains("pH")) throw BadInput({{place, "no pH", "a mapping with the key pH", {}}});
}

BatchReading reading_from_mapping(const py::handle& source, const Place& place, const Tables& tables) {
  require_known_keys(source, place);
  BatchReading reading{number_from(source["pH"], "a reading"), {}, place};
  if (source.contains("added")) reading.added = portions_from(source["added"], place, tables);
  if (source.contains("dilution") && !source["dilution"].is_none())
    reading.dilution = dilution_from(source["dilution"], tables);
  reading.age_days = number_under(source, "age_days");
  reading.celsius = number_under(source, "temperature_celsius");
  reading.half_ph = number_under(source, "half_pH");
  return reading;
}

BatchReading reading_from(const py::handle& source, const Place& place, const Tables& tables) {
  if (is_a(source, "Mapping")) return reading_from_mapping(source, place, tables);
  if (is_pair(source))
    return {number_from(source[py::int_(0)], "a reading"), portions_from(source[py::int_(1)], place, tables), place};
  if (is_a(source, "Iterable")) refuse_type(accepted, source);
  return {number_from(source, "a reading"), {}, place};
}

Readings taken_from(ReadingLog log, const Tables& tables) {
  Readings readings{readings_of(log, tables), true, log.sample_g, log.batch_g, std::move(log.diagnostics)};
  if (ends_unread(log))
    readings.diagnostics.push_back({log.lines.back().place,
                                    "the log ends with an addition that was not read: it is not counted"});
  return readings;
}

Readings read_log(const py::object& source, const Tables& tables, const std::string& titrant) {
  const auto path = source.cast<std::filesystem::path>();
  const py::gil_scoped_release others_may_run;
  auto log = read_reading_log_file(path, tables, titrant);
  require_sound(log);
  return taken_from(std::move(log), tables);
}

}  // namespace

double number_from(const py::handle& value, const std::string& what) {
  const bool has_value = py::hasattr(value, "__float__") || py::hasattr(value, "__index__");
  if (is_text(value) || py::isinstance<py::bool_>(value) || !has_value)
    throw py::type_error(fmt::format("{} is {}, which is no number", what, std::string(py::repr(value))));
  const double number = PyFloat_AsDouble(value.ptr());
  if (!PyErr_Occurred()) return number;
  if (!PyErr_ExceptionMatches(PyExc_OverflowError)) throw py::error_already_set();
  PyErr_Clear();
  return std::numeric_limits<double>::infinity();
}

Readings readings_from(const py::object& source, const Tables& tables, const std::string& titrant) {
  if (py::isinstance<py::str>(source) || py::hasattr(source, "__fspath__")) return read_log(source, tables, titrant);
  if (!is_ordered(source)) refuse_type(accepted, source);
  Readings readings;
  for (const auto& one : source)
    readings.taken.push_back(reading_from(one, {"readings", readings.taken.size() + 1, 0}, tables));
  return readings;
}

}  // namespace counterion::bindings
