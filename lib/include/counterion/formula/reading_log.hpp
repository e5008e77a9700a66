// SPDX-License-Identifier: MIT
// What a person wrote down of a batch or of a titration on the bench, as spreadsheets save it.
#pragma once

#include <counterion/formula/formula.hpp>

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace counterion {

/// One line of a log: what was weighed in, then what the meter showed; either may be missing.
struct LogLine {
  std::string added;                ///< as written, here or in a `# with:` line; empty when nothing was
  std::string ingredient;           ///< id in the tables of what was added; empty when nothing was
  std::optional<double> stock_percent;  ///< of the ingredient in the stock, above 0 to 100, as written on the
                                        ///< line; 100 where the tables know that strength by a name of its own
  std::optional<double> grams;      ///< of stock, above 0, since the line before
  std::optional<double> ph;         ///< 0 to 14, after the addition
  std::optional<double> temperature_celsius;  ///< 0 to 100
  std::string time, note;           ///< as written; columns with other heads go on in the note, "method: strip"
  Place place;                      ///< the line
};

/// A log as read, in the order in which it was written.
struct ReadingLog {
  std::vector<LogLine> lines;
  /// Of `# key: value` lines, as written; keys in lower case, those that are known in English: sample, batch, with.
  std::map<std::string, std::string> header;
  std::optional<double> sample_g, batch_g;    ///< as the header states them
  std::vector<Diagnostic> diagnostics;
};

/// Reads a log from CSV text in all dialects of formulas: columns of time, what was added, its strength,
/// grams (or their total so far), pH, temperature and notes, in any order; heads in English, German or French.
/// `with` is what was added on lines that do not name it, unless a line `# with:` says so. Throws BadInput with every
/// fault at once; `file` is what messages call the text.
ReadingLog read_reading_log(std::string_view text, const std::string& file, const Tables& tables,
                            std::string_view with = {});

/// The same from a file; throws BadInput when it cannot be opened or is no regular file.
ReadingLog read_reading_log_file(const std::filesystem::path& path, const Tables& tables, std::string_view with = {});

}  // namespace counterion
