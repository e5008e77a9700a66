// SPDX-License-Identifier: MIT
// What a person wrote down of a batch or of a titration on the bench, as spreadsheets save it.
#pragma once

#include <counterion/formula/formula.hpp>

#include <array>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace counterion {

/// With what a pH may have been read, in the words of LogLine::method.
inline constexpr std::array<std::string_view, 5> reading_methods{
    "meter", "meter-two-points", "meter-one-point", "meter-not-calibrated", "strip"};

/// One line of a log: what was weighed in, then what the meter showed; either may be missing.
struct LogLine {
  std::string added;                ///< as written, here or in a `# with:` line; empty when nothing was
  std::string ingredient;           ///< id in the tables of what was added; empty when nothing was, or when
                                    ///< the line is at fault there
  std::optional<double> stock_percent;  ///< of the ingredient in the stock, above 0 to 100, as written on the
                                        ///< line; 100 where the tables know that strength by a name of its own
  std::optional<double> grams;      ///< of stock, above 0, since the line before
  std::optional<double> ph;         ///< 0 to 14, after the addition
  std::optional<double> temperature_celsius;  ///< 0 to 100
  std::string time, note;           ///< as written; columns with other heads go on in the note, "weather: hot"
  Place place;                      ///< the line
  std::optional<std::string> method;  ///< one of reading_methods
  std::optional<double> step_ph;      ///< of a strip's scale, or what a meter is off by, above 0 to 2
  std::optional<double> dilution_product_g, dilution_water_g;  ///< what was stirred into how much water, above 0;
                                                               ///< of "1:10" only the ratio means something
  std::optional<double> age_days;  ///< since `# mixed:`, else since the first line; none where the time says none
  bool after_broken_addition = false;  ///< what was weighed in here or before is not known in full: no grams from
                                       ///< this reading
};

/// What a calibration buffer read, as a line `# buffer: 4.01 = 4.05 @ 22 °C` or `# buffer: 7.00 = -3 mV` has it.
struct LogBuffer {
  double nominal_ph = 7;                            ///< 0 to 14
  std::optional<double> shown_ph, millivolts;       ///< one of them: 0 to 14, -1000 to 1000
  std::optional<double> temperature_celsius;        ///< 0 to 100
  Place place;
};

/// A line with a fault, as it stood.
struct BrokenLine {
  Place place;
  std::string text;
};

/// A log as read, in the order in which it was written.
struct ReadingLog {
  std::vector<LogLine> lines;
  /// Of `# key: value` lines, as written; keys in lower case, those that are known in English: sample, batch, with,
  /// mixed, buffer, calibrated, compensated.
  std::map<std::string, std::string> header;
  std::optional<double> sample_g, batch_g;    ///< as the header states them
  std::vector<LogBuffer> buffers;
  std::optional<double> calibrated_celsius;   ///< at which the meter was calibrated
  std::optional<bool> compensates_temperature;
  std::vector<Diagnostic> diagnostics;
  std::vector<Problem> problems;              ///< every fault of single lines, in the order of the file
  std::vector<BrokenLine> broken;             ///< the lines that have them
};

/// Reads a log from CSV text in all dialects of formulas: columns of time, what was added, its strength,
/// grams (or their total so far), pH, temperature, method, dilution and notes, in any order; heads in English, German
/// or French. `with` is what was added on lines that do not name it, unless a line `# with:` says so. Faults of
/// single lines stand in `problems`, what is sound of these lines is used. Throws BadInput with every fault at once
/// where the whole is at fault: no text, no column of pH, columns that mean nothing clear, two delimiters, nothing
/// that can be used. `file` is what messages call the text.
ReadingLog read_reading_log(std::string_view text, const std::string& file, const Tables& tables,
                            std::string_view with = {});

/// The same from a file; throws BadInput when it cannot be opened or is no regular file.
ReadingLog read_reading_log_file(const std::filesystem::path& path, const Tables& tables, std::string_view with = {});

/// Throws BadInput with every fault of a log that has any.
void require_sound(const ReadingLog& log);

/// A line to be written into a log.
struct NewReading {
  std::string time;                        ///< "14:05", "2026-03-01 14:05", "day 7"; may be empty
  std::string added;                       ///< a name of the tables; empty when nothing was added
  std::optional<double> strength_percent;  ///< of a stock, above 0 to 100
  std::optional<double> grams;             ///< above 0 to 1e9, since the line before
  std::optional<double> ph;                ///< 0 to 14
  std::optional<double> temperature_celsius;  ///< 0 to 100
  std::string method;                      ///< one of reading_methods or in words, "strip 0.5"
  std::string dilution;                    ///< "10 g in 90 g", "1:10", "10 %"
  std::string note;
};

/// Appends one line to a log in the log's own dialect (delimiter, decimal mark, columns, line ends, encoding) and
/// returns it as it reads back. What stands in the file is not touched; a file that is not there is made with a header
/// line. Throws BadInput where the log has no column for something, where a value means nothing, where the file cannot
/// be read or written, or where the line would not read back as meant; nothing is written then.
LogLine append_reading(const std::filesystem::path& path, const NewReading& reading, const Tables& tables,
                       std::string_view with = {});

}  // namespace counterion
