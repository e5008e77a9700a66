// SPDX-License-Identifier: MIT
// Slow reactions whose speed stands in the tables of changes: how fast at which pH and temperature,
// and what a mole of the reactant turns into.
#pragma once

#include <counterion/tables/tables.hpp>

#include <optional>
#include <span>
#include <string_view>
#include <vector>

namespace counterion::kinetics {

/// A number by its log10 and the half width of the 90 % interval of that.
struct Decades {
  double log10 = 0, half = 0;
  /// The number itself, `ends` half widths from its middle.
  double at(double ends = 0) const;
};

/// Rate constants (1/s) of one reaction at one temperature, by pH: a broken line through the ends
/// of the rows' spans. Where rows hold together their logarithms are averaged, and what they
/// disagree by is in the half width. Beyond the last row the constant stays, less and less sure.
class RatesByPH {
 public:
  /// A row's constant at the temperature in question.
  struct Row {
    double low_ph, high_ph;
    Decades constant;
  };
  explicit RatesByPH(std::span<const Row> rows);
  Decades at(double ph) const;

 private:
  struct Knot {
    double ph;
    Decades constant;
  };
  std::vector<Knot> knots_;
};

/// Rate constants of one reaction as the rows have them, each at its own temperature.
class RateLaw {
 public:
  /// What an activation energy that no row states is taken as, kJ/mol.
  struct Assumed {
    double low = 70, high = 110;
  };
  void add(const tables::Change& row, const Assumed& assumed);
  /// By Arrhenius' law, the ± of the activation energies included.
  RatesByPH at(double celsius) const;
  /// How many times as fast at one temperature as at another.
  Decades faster_at(double celsius, double reference_celsius) const;
  bool empty() const { return rows_.empty(); }

 private:
  struct Row {
    double low_ph, high_ph;
    Decades constant;
    double kelvin;
    double activation, activation_half;  ///< kJ/mol
  };
  std::vector<Row> rows_;
};

/// What appears (+) or goes (-) of a substance when a mole of the reactant has reacted.
struct Turnover {
  const tables::Substance* substance = nullptr;
  double mol_per_mol = 0;
};

/// A reaction of a component of a material.
struct TimedReaction {
  std::string_view reactant;                     ///< the ingredient that the rows speak of
  const tables::Substance* component = nullptr;  ///< of it that reacts
  std::vector<Turnover> turnover;
  std::vector<const tables::Substance*> products;  ///< as the row names them
  RateLaw rates;
  double fresh_share =
      0;  ///< of the component that has not reacted when it is fresh though its composition counts
          ///< it as reacted; 0: what is weighed in is the reactant
  std::optional<Decades> ratio;  ///< of reactant to undissociated acid at equilibrium, where the
                                 ///< reaction goes both ways
  const tables::Change* row = nullptr;  ///< the surest
  /// Whether the component stands for what it turns into, bound in one raw material alone.
  bool bound_in_itself() const;
};

/// Half width of log10 of a rate by how it became known: 1.5 times for what was looked up, to 10
/// times for an assumption.
double half_width_of(tables::Reliability reliability);

/// Whether a row is the surer one; a user's own is surest.
bool is_surer(const tables::Change& row, const tables::Change& other);

/// The substances of a sum such as `2 ammonia + carbonic-acid`, `inert` left out, and whether all
/// of them are substances that the water phase knows how to hold.
struct Products {
  std::vector<Turnover> terms;
  bool known = false;
};
Products products_of(std::string_view sum, const Tables& tables);

/// The reactions of a component that came with an ingredient: those of the ingredient itself, or of
/// the one that is mainly this component. Valid as long as the tables.
std::span<const TimedReaction> reactions_of(std::string_view ingredient,
                                            const tables::Substance* component,
                                            const Tables& tables);

/// Whether a row of changes is part of a reaction with a known speed.
bool is_timed(const tables::Change& row, const Tables& tables);

}  // namespace counterion::kinetics
