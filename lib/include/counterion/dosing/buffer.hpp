// SPDX-License-Identifier: MIT
// Which buffer holds a pH against acid or alkali that may come, and how much of each partner.
#pragma once

#include <counterion/judgement/cautions.hpp>
#include <counterion/judgement/electrolyte.hpp>

namespace counterion {

/// A pH to hold, and against what: strong acid or strong base, each by itself, in mmol per kg of the batch.
struct BufferAim {
  double ph = 0;                ///< 0 to 14
  double acid_mmol_per_kg = 0;  ///< 0 to 1000; one of the two is more than 0
  double base_mmol_per_kg = 0;  ///< 0 to 1000
  double most_shift = 0.2;      ///< pH units that each of them may move it by, 0.001 to 2
};

/// A pH, and where the loads of an aim take it.
struct LoadedPH {
  double ph = 0;
  std::optional<double> after_acid, after_base;  ///< none where the aim has no such load
  /// How far the loads take it from a pH, the worse of them.
  double shift_from(double wanted) const;
};

/// One partner of a buffer, as supplied.
struct BufferPartner {
  std::string ingredient;
  std::string name;
  double percent = 0;  ///< of the finished formula; 0 where the formula itself does this partner's part
  double grams = 0;    ///< for the batch
};

/// What of one buffer holds the pH. Figures below `possible` stand for the formula with both partners in it.
struct BufferPair {
  std::string system;          ///< "citrate": the class buffer-acid-citrate with buffer-base-citrate
  BufferPartner acid, base;
  bool made_in_place = false;  ///< lye takes the place of the salt, or strong acid that of the acid partner
  bool possible = false;
  std::string why_not;         ///< in words, when not possible
  bool from_water = true;      ///< takes the place of water; otherwise comes on top of the batch
  double percent_dry = 0;      ///< what both bring besides water, percent of the finished formula
  LoadedPH ph;
  double buffer_capacity = 0;       ///< mol strong base per kg of water and pH
  double ionic_strength = 0;        ///< mol/kg of water
  double added_ionic_strength = 0;  ///< over that of the formula as it stands
  Electrolyte electrolyte;          ///< thickeners of the formula in that salt
  std::vector<FiredCaution> cautions;   ///< that the partners bring; their lines stand last in `with_buffer`
  std::vector<CheckedLimit> limits;     ///< that they make the formula exceed
  std::vector<WorkingRange> narrowing;  ///< hard ranges of the partners that narrow the formula's window
  bool outside_range = false;           ///< the pH lies outside one of those

  /// What of it meets something of the formula (assumption): an exceeded limit 2, a caution or a pH
  /// outside of a partner's range 1, a note 0.25; not what a partner is in the hand, nor what `thinning` says.
  double clashes = 0;
  /// How far salt thins the thickener that stands it least: 0 not at all, 1 nearly all is gone.
  double thinning = 0;
};

/// The buffers of the tables for one formula and one aim.
struct Buffers {
  LoadedPH as_it_is;                   ///< the formula where it stands
  std::optional<LoadedPH> once_there;  ///< brought to the pH by strong acid or base alone, where that can be
  bool holds_already = false;          ///< has the pH and holds it: nothing to weigh
  bool holds_once_there = false;       ///< its own buffering does: an adjuster is all it needs
  /// One for each system, unless the formula holds by itself: possible ones first, then by clashes, thinning
  /// and percent_dry. Of one system the salt goes before lye, unless it had to bring the formula to the pH alone.
  std::vector<BufferPair> pairs;
};

/// Most of a buffer, percent of the formula without water, that is still offered (assumption).
inline constexpr double most_buffer_percent = 5;
/// How far the pH may lie from a buffer's nearest pK (assumption): at 1.5 it has an eighth of its best capacity.
inline constexpr double most_pK_distance = 1.5;

/// A formula with a pair in it, still 100 %; its partners are the last lines, the acid first, what has 0 % left out.
Formula with_buffer(const Formula& formula, const BufferPair& pair, const Tables& tables);

/// The least of each buffer that gives the formula the pH of the aim and keeps it within `most_shift` under
/// each load. Each possible pair has been put into the formula and predicted again: pH within 1e-4, shift
/// within the aim's. The phase is that of the formula. Throws BadInput with every fault of the aim.
Buffers buffers_for(const Formula& formula, const WaterPhase& phase, const BufferAim& aim,
                    const Tables& tables, const Judging& judging = {});

}  // namespace counterion
