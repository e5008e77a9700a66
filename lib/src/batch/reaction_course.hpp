// SPDX-License-Identifier: MIT
// How far the reactions of a phase go in time: their equations of motion, the charges balanced at
// every moment.
#pragma once

#include <counterion/batch/drift.hpp>

#include "reacting_phase.hpp"

namespace counterion::kinetics {

/// Ends of the 90 % intervals at which a reaction's numbers are taken; 0 is the middle.
struct Ends {
  double rate = 0, ratio = 0;
  bool stands = false;  ///< it stays as it is built
};

/// A moment of the course.
struct Moment {
  double days = 0;
  bool asked = false;
  std::vector<double> extents;
  double ph = 0;
};

/// Integrates the extents of a phase's reactions. The rates go by the pH of the moment; each step
/// is exact for reactions of first order with a rate that stays, and is corrected by the rates at
/// its end. Its length grows with time, and shrinks where the correction moves the pH.
class ReactionCourse {
 public:
  /// What a correction may move, by which the length of a step is judged.
  struct Tolerance {
    double ph = 0.006;
    double extent = 0.01;
  };
  /// The phase must outlive it.
  ReactionCourse(const ReactingPhase& phase, const std::vector<Stay>& storage);
  ReactionCourse(const ReactingPhase& phase, const std::vector<Stay>& storage,
                 const Tolerance& tolerance);

  /// The course from freshly mixed to the last of these days (ascending): every moment that was
  /// looked at, those asked for marked. `ends`: one a reaction, or none for the middle.
  std::vector<Moment> run(std::span<const double> days, std::span<const Ends> ends = {});
  /// Rate constant of a reaction when it begins, 1/s, of all that there is of its reactant.
  double first_rate(std::size_t reaction);
  /// The pH at these extents.
  double ph_at(std::span<const double> extents);
  /// How many pH were solved for so far.
  std::size_t solves() const { return solves_; }

 private:
  /// The same temperature until a day.
  struct Leg {
    double until_days;
    std::vector<RatesByPH> rates;
  };
  /// pH, and how each reaction strives: what is left of it nears `rest` with the rate `speed`
  /// (1/day).
  struct Look {
    double ph = 0;
    std::vector<double> speed, rest;
  };
  struct Step {
    Look look;
    std::vector<double> extents;
    double miss = 0;  ///< of the correction, in units of what is tolerated
  };
  /// Where an integration stands, and how long its next step may be.
  struct Walk {
    double now, length;
    int steps;
    const Leg* leg;
    Look here;
    std::vector<double> extents;
  };
  std::vector<double> first_extents(std::span<const Ends> ends) const;
  /// One step, to the end of the leg or that day at most.
  void advance(Walk& walk, double day, std::span<const Ends> ends);
  void solve(std::span<const double> extents);
  template <class Model>
  void note(const chemistry::Root& root, const chemistry::Mixture& mixture, const Model& model);
  Look look(std::span<const double> extents, const Leg& leg, std::span<const Ends> ends);
  Step step(const Look& from, std::span<const double> extents, double days, const Leg& leg,
            std::span<const Ends> ends);
  double miss(const Look& guess, const Look& look, std::span<const double> guessed,
              std::span<const double> extents) const;
  static double first_length(const Look& look);
  const Leg& leg_at(double days) const;

  const ReactingPhase& phase_;
  Tolerance tolerance_;
  std::vector<Leg> legs_;
  chemistry::Mixture mixture_;
  std::optional<chemistry::Root> root_;
  std::vector<double> undissociated_;  ///< of a reaction's acid, its share that is free and neutral
  /// Of a reaction's reactant, its share that the water holds: what oil, micelles and crystals hold
  /// does not react.
  std::vector<double> in_water_;
  std::size_t solves_ = 0;
};

/// The moments that were asked for.
std::vector<Moment> asked_of(const std::vector<Moment>& course);

}  // namespace counterion::kinetics
