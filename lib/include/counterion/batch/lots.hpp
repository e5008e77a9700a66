// SPDX-License-Identifier: MIT
// What the readings of a batch taught of its raw materials, for the next batch from the same lots.
#pragma once

#include <counterion/batch/calibrate.hpp>

#include <filesystem>
#include <span>

namespace counterion {

/// Strong charge of a raw material per gram as supplied, meq/g, + alkaline, - acid, as readings
/// have it.
struct LearnedLot {
  std::size_t item = 0;                  ///< line of the formula, the first where there are several
  std::string ingredient;                ///< id in the tables
  std::string name;                      ///< to show
  double low = 0, middle = 0, high = 0;  ///< 90 % interval of this material by itself
  double prior_low = 0, prior_middle = 0, prior_high = 0;  ///< before the readings
  double share_left =
      1;  ///< width of the interval over that before; of the logarithm where the sign is sure
  bool worth_keeping = false;  ///< says more than the tables do, and own tables can say it
  std::string why_not;         ///< in words, where it is not worth keeping
};

/// An interval that has shrunk to this share of what it was, or less, is worth keeping; so is a
/// middle that moved by half of the interval's half width.
inline constexpr double share_worth_keeping = 0.8;

/// What a calibration taught of the listed lines of the formula that it began with, in their order.
/// Readings know sums better than their parts: every interval is that of the material with all
/// others left open. Nothing is worth keeping of a batch whose readings lie beyond the tables, of
/// lines that declare a pH, of titrated materials.
std::vector<LearnedLot> learned_lots(const Calibration& calibration, const Formula& formula,
                                     const Tables& tables);

/// Where lots were learned from.
struct LotOrigin {
  std::string batch;  ///< its name
  std::string date;   ///< as the person has it, "2026-03-01"
  std::vector<ReadingInLight> readings;
};

/// Rows of levels.csv for a folder of own tables: kind residual-charge, one row for each lot that
/// is worth keeping. Own tables take an interval that spans 0 with its middle at 0, another as that
/// of a logarithm.
std::string lots_csv(std::span<const LearnedLot> lots, const LotOrigin& origin);

/// What becomes of rows that a folder has already of the same materials.
enum class KnownLots { refuse, replace };

/// Writes lots that are worth keeping into levels.csv of a folder, which is made when there is
/// none; rows of other facts are kept as they stand. Throws BadInput, and leaves all as it was,
/// where no lot is worth keeping, where the folder has residual charges of these materials and they
/// are not to be replaced, and where the tables with the folder laid over them would not load.
void write_lots(const std::filesystem::path& folder, std::span<const LearnedLot> lots,
                const LotOrigin& origin, const Tables& tables, KnownLots known = KnownLots::refuse);

}  // namespace counterion
