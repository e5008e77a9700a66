// SPDX-License-Identifier: MIT
#include "reaction_course.hpp"

#include <counterion/batch/prediction.hpp>
#include <counterion/chemistry/specific_ion.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

namespace counterion::kinetics {
namespace {

using chemistry::ln10;
constexpr double seconds_per_day = 86400;
/// No step is shorter, and none is refused once there have been so many.
constexpr double shortest_days = 1 / seconds_per_day;
constexpr int most_steps = 400;

/// What is left of a reactant after `days` on its way to where it would rest, which itself moves
/// evenly from one place to another; exact for a `speed` that stays.
double left_after(double left, double rest, double rest_at_end, double speed, double days) {
  const double z = speed * days, decayed = std::exp(-z);
  const double lag = z > 1e-8 ? (1 - decayed) / z : 1 - 0.5 * z;
  return std::clamp(rest_at_end + (left - rest) * decayed - (rest_at_end - rest) * lag, 0.0, 1.0);
}

}  // namespace

ReactionCourse::ReactionCourse(const ReactingPhase& phase, const std::vector<Stay>& storage)
    : ReactionCourse(phase, storage, Tolerance()) {}

ReactionCourse::ReactionCourse(const ReactingPhase& phase, const std::vector<Stay>& storage,
                               const Tolerance& tolerance)
    : phase_(phase),
      tolerance_(tolerance),
      mixture_(phase.built().mixture),
      undissociated_(phase.reactions().size(), 0.0),
      in_water_(phase.reactions().size(), 1.0) {
  double until = 0;
  const std::vector<Stay> usual{Stay{}};
  for (const auto& stay : storage.empty() ? usual : storage) {
    until += stay.days;
    Leg leg{until, {}};
    for (const auto& one : phase.reactions())
      leg.rates.push_back(one.reaction->rates.at(stay.celsius));
    legs_.push_back(std::move(leg));
  }
  legs_.back().until_days = std::numeric_limits<double>::infinity();
}

const ReactionCourse::Leg& ReactionCourse::leg_at(double days) const {
  return *std::ranges::find_if(legs_, [&](const Leg& leg) { return days < leg.until_days; });
}

double ReactionCourse::first_rate(std::size_t reaction) {
  const double ph = ph_at(first_extents({}));
  return legs_.front().rates[reaction].at(ph).at() * in_water_[reaction];
}

double ReactionCourse::ph_at(std::span<const double> extents) {
  solve(extents);
  return -root_->x / ln10;
}

void ReactionCourse::solve(std::span<const double> extents) {
  phase_.mix(extents, mixture_);
  ++solves_;
  const Water& water = phase_.built().water;
  chemistry::with_model(model_choice(phase_.built().conditions), [&](const auto& model) {
    if constexpr (std::is_same_v<std::decay_t<decltype(model)>, chemistry::SpecificIonModel>) {
      const auto settled = chemistry::settle(mixture_, water, model);
      note(settled.root, settled.mixture, settled.model);
    } else {
      note(root_ ? chemistry::solve_near(*root_, mixture_, water, model)
                 : chemistry::solve(mixture_, water, model),
           mixture_, model);
    }
  });
}

template <class Model>
void ReactionCourse::note(const chemistry::Root& root, const chemistry::Mixture& mixture,
                          const Model& model) {
  root_ = root;
  const auto& gamma = model.at(root.u);
  const auto note_share = [&](std::optional<std::size_t> place, double& share, const auto& read) {
    if (!place || !(mixture.protolytes[*place].molality > 0)) return;
    const auto& part = mixture.protolytes[*place];
    share = read(part, contribution(part, std::exp(root.x), gamma)) / part.molality;
  };
  for (std::size_t i = 0; i < undissociated_.size(); ++i) {
    const auto& one = phase_.reactions()[i];
    note_share(one.acid, undissociated_[i],
               [](const auto&, const auto& in_play) { return in_play.free_neutral; });
    note_share(one.reactant, in_water_[i], [](const auto& part, const auto& in_play) {
      return in_play.molality - in_play.free_neutral * part.neutral.elsewhere;
    });
  }
}

ReactionCourse::Look ReactionCourse::look(std::span<const double> extents, const Leg& leg,
                                          std::span<const Ends> ends) {
  solve(extents);
  Look look{-root_->x / ln10, {}, {}};
  for (std::size_t i = 0; i < extents.size(); ++i) {
    const auto& one = phase_.reactions()[i];
    const Ends at = ends.empty() ? Ends{} : ends[i];
    const double rate =
        at.stands ? 0 : leg.rates[i].at(look.ph).at(at.rate) * in_water_[i] * seconds_per_day;
    double back = 0, rest = 0;
    if (one.acid &&
        one.molality > 0) {  // the way back is of the first order in the acid that is there
      const double acid = mixture_.protolytes[*one.acid].molality / one.molality;
      const double per_mol = one.turnover.protolytes.front().second;
      const double weight =
          one.reaction->ratio->at(at.ratio) * one.share_of_way_back * undissociated_[i];
      back = weight * per_mol;
      rest = weight * (acid + per_mol * (1 - extents[i])) / (1 + back);
    }
    look.speed.push_back(rate * (1 + back));
    look.rest.push_back(std::min(1.0, rest));
  }
  return look;
}

double ReactionCourse::miss(const Look& guess, const Look& look, std::span<const double> guessed,
                            std::span<const double> extents) const {
  double most = std::abs(look.ph - guess.ph) / tolerance_.ph;
  for (std::size_t i = 0; i < extents.size(); ++i)
    most = std::max(most, std::abs(extents[i] - guessed[i]) / tolerance_.extent);
  return most;
}

ReactionCourse::Step ReactionCourse::step(const Look& from, std::span<const double> extents,
                                          double days, const Leg& leg, std::span<const Ends> ends) {
  const std::size_t count = extents.size();
  std::vector<double> guessed(count), corrected(count);
  for (std::size_t i = 0; i < count; ++i)
    guessed[i] = 1 - left_after(1 - extents[i], from.rest[i], from.rest[i], from.speed[i], days);
  Look guess = look(guessed, leg, ends);
  double change = 0;
  for (std::size_t i = 0; i < count; ++i) {
    corrected[i] = 1 - left_after(1 - extents[i], from.rest[i], guess.rest[i],
                                  0.5 * (from.speed[i] + guess.speed[i]), days);
    change = std::max(change, std::abs(corrected[i] - guessed[i]));
  }
  constexpr double nothing = 1e-9;
  if (change < nothing) return {std::move(guess), std::move(guessed), 0};
  Look there = look(corrected, leg, ends);
  const double off = miss(guess, there, guessed, corrected);
  return {std::move(there), std::move(corrected), off};
}

/// A fiftieth of the quickest reaction's time.
double ReactionCourse::first_length(const Look& look) {
  double fastest = 0;
  for (const double speed : look.speed) fastest = std::max(fastest, speed);
  return std::max(shortest_days, 0.02 / std::max(fastest, 1e-9));
}

std::vector<double> ReactionCourse::first_extents(std::span<const Ends> ends) const {
  auto extents = phase_.built_extents();
  for (std::size_t i = 0; i < extents.size(); ++i)
    if (ends.empty() || !ends[i].stands) extents[i] = 0;
  return extents;
}

std::vector<Moment> ReactionCourse::run(std::span<const double> days, std::span<const Ends> ends) {
  Walk walk{0, 0, 0, &leg_at(0), {}, first_extents(ends)};
  walk.here = look(walk.extents, *walk.leg, ends);
  walk.length = first_length(walk.here);
  std::vector<Moment> course;
  for (const double day : days) {
    while (walk.now < day) {
      advance(walk, day, ends);
      if (walk.now < day) course.push_back({walk.now, false, walk.extents, walk.here.ph});
    }
    course.push_back({day, true, walk.extents, walk.here.ph});
  }
  return course;
}

void ReactionCourse::advance(Walk& walk, double day, std::span<const Ends> ends) {
  if (const Leg* next = &leg_at(walk.now); next != walk.leg) {
    walk.leg = next, walk.here = look(walk.extents, *next, ends);
    walk.length = std::min(walk.length, first_length(walk.here));
  }
  const double end = std::min(day, walk.leg->until_days);
  while (true) {
    const double days = std::min(walk.length, end - walk.now);
    const bool forced = days <= shortest_days || ++walk.steps > most_steps;
    Step made = step(walk.here, walk.extents, days, *walk.leg, ends);
    const double next_days =
        days * std::clamp(0.9 / std::sqrt(std::max(made.miss, 1e-4)), 0.25, 5.0);
    const bool taken = made.miss <= 1 || forced, cut_short = days < walk.length;
    walk.length = taken && cut_short ? std::max(walk.length, next_days) : next_days;
    if (!taken) continue;
    walk.now = days >= end - walk.now ? end : walk.now + days;
    walk.here = std::move(made.look), walk.extents = std::move(made.extents);
    return;
  }
}

std::vector<Moment> asked_of(const std::vector<Moment>& course) {
  std::vector<Moment> asked;
  std::ranges::copy_if(course, std::back_inserter(asked), &Moment::asked);
  return asked;
}

}  // namespace counterion::kinetics
