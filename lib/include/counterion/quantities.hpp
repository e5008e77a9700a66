// SPDX-License-Identifier: MIT
// The units of every public border. The only header that knows Boost.Units.
#pragma once

#include <boost/units/absolute.hpp>
#include <boost/units/quantity.hpp>
#include <boost/units/systems/si/amount.hpp>
#include <boost/units/systems/si/dimensionless.hpp>
#include <boost/units/systems/si/mass.hpp>
#include <boost/units/systems/si/temperature.hpp>
#include <compare>

namespace counterion {

namespace si = boost::units::si;

/// Mass, kept in kilograms.
using Mass = boost::units::quantity<si::mass>;
/// Amount of substance, kept in moles.
using AmountOfSubstance = boost::units::quantity<si::amount>;
/// Moles per kilogram of water.
using Molality = boost::units::quantity<
    boost::units::divide_typeof_helper<si::amount, si::mass>::type>;
/// Share of a whole by mass, 0 to 1.
using MassFraction = boost::units::quantity<si::dimensionless>;
/// A point on the temperature scale (not a difference), kept in kelvin.
using Temperature = boost::units::quantity<boost::units::absolute<si::temperature>>;

constexpr Mass grams(double value) { return Mass::from_value(value / 1000.0); }
constexpr double in_grams(const Mass& mass) { return mass.value() * 1000.0; }

constexpr MassFraction percent(double value) { return MassFraction::from_value(value / 100.0); }
constexpr double in_percent(const MassFraction& share) { return share.value() * 100.0; }

constexpr Molality mol_per_kg(double value) { return Molality::from_value(value); }
constexpr double in_mol_per_kg(const Molality& molality) { return molality.value(); }

inline constexpr double ice_point_kelvin = 273.15;
inline Temperature celsius(double value) {
  return Temperature::from_value(value + ice_point_kelvin);
}
inline double in_celsius(const Temperature& temperature) {
  return temperature.value() - ice_point_kelvin;
}

/// A reading on the pH scale, -log10 of the hydrogen ion's activity; made and read on purpose only.
class pH {
 public:
  constexpr explicit pH(double value) noexcept : value_(value) {}
  constexpr double value() const noexcept { return value_; }
  constexpr auto operator<=>(const pH&) const noexcept = default;

 private:
  double value_;
};

}  // namespace counterion
