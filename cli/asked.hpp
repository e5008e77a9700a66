// SPDX-License-Identifier: MIT
// What was typed, and what the commands share to answer it.
#pragma once

#include <counterion/answer/batch_answer.hpp>
#include <counterion/report/text.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace counterion::cli {

enum Status { no_stop = 0, stop = 1, bad_input = 2, failure = 3 };

/// What was typed after a command.
struct Asked {
  std::vector<std::string> words;  ///< as they were typed, the command first
  std::optional<std::string> tables;
  std::string file;
  std::string batch, target, temperature, activity, type, use, jurisdiction;
  std::string meter, scale, tolerance;
  std::vector<std::string> adjusters, without, keep;
  std::vector<std::string> readings;
  std::string log, sample, with, curve, hold, neutralise, storage;
  std::string method, dilution, sample_temperature, weight, lots, time;
  std::vector<std::string> found, buffers;
  bool not_compensated = false, append = false;
  bool no_remedies = false, ruled_out = false;
  bool json = false, all = false, no_colour = false, allow_unlisted = false;
};

/// Throws BadInput.
[[noreturn]] void refuse(std::string found, std::string expected);
double number_of(const std::string& text, std::string_view option, std::string_view expected);
/// "500", "500 g", "2 kg" in grams.
double grams_of(const std::string& text, std::string_view option);

CheckOptions options_of(const Asked& asked);
/// The built-in tables, the user's own laid over them where a folder was named.
Tables tables_of(const Asked& asked);
Formula formula_of(const Asked& asked, const Tables& tables);
TextStyle style_for(const Asked& asked);

/// Every line of a message on stderr, with the command's name before it.
void say(std::string_view message);
void say_diagnostics(const std::vector<Diagnostic>& diagnostics);
/// Whether all of it arrived on stdout; a reader that has gone away is no news worth a message.
bool write_out(const std::string& text);
/// Whether all of it arrived in the file: written under another name first, then renamed.
bool write_file(const std::string& path, const std::string& text);

int run_predict(const Asked& asked);
int run_adjust(const Asked& asked);
int run_titrate(const Asked& asked);
int run_explain(const Asked& asked);

}  // namespace counterion::cli
