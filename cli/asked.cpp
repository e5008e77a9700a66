// SPDX-License-Identifier: MIT
#include "asked.hpp"

#include "terminal.hpp"

#include <counterion/formula/read.hpp>
#include <counterion/text/number.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <iostream>
#include <iterator>

namespace counterion::cli {

void refuse(std::string found, std::string expected) {
  throw BadInput({{{}, std::move(found), std::move(expected), {}}});
}

double number_of(const std::string& text, std::string_view option, std::string_view expected) {
  const auto reading = text::read_number(text);
  if (!reading.number || !reading.number->unit.empty())
    refuse(fmt::format("{} is '{}'", option, text), std::string(expected));
  return reading.number->value;
}

double grams_of(const std::string& text, std::string_view option) {
  const auto number = text::read_number(text).number;
  const std::string unit = number ? number->unit : "none";
  if (!number || !(number->value > 0) || (!unit.empty() && unit != "g" && unit != "kg"))
    refuse(fmt::format("{} is '{}'", option, text), "a mass such as 500, \"500 g\" or \"2 kg\"");
  return number->value * (unit == "kg" ? 1000 : 1);
}

CheckOptions options_of(const Asked& asked) {
  CheckOptions options;
  options.product_type = asked.type;
  options.use = asked.use;
  options.jurisdiction = asked.jurisdiction;
  if (!asked.batch.empty()) options.batch_g = grams_of(asked.batch, "--batch");
  if (!asked.target.empty())
    options.target = pH(number_of(asked.target, "--target", "a pH such as 4.5"));
  if (!asked.meter.empty())
    options.meter_ph = number_of(asked.meter, "--meter", "pH units such as 0.1");
  if (!asked.scale.empty())
    options.scale_g = number_of(asked.scale, "--scale", "grams such as 0.01");
  if (!asked.tolerance.empty())
    options.tolerance_ph = number_of(asked.tolerance, "--tolerance", "pH units such as 0.1");
  options.remedies = !asked.no_remedies;
  options.without = asked.without;
  options.keep = asked.keep;
  if (!asked.temperature.empty())
    options.temperature =
        celsius(number_of(asked.temperature, "--temperature", "degrees Celsius such as 25"));
  if (!asked.activity.empty()) {
    const auto activity = activity_named(asked.activity);
    if (!activity)
      refuse(fmt::format("--activity is '{}'", asked.activity),
             fmt::format("one of {}", fmt::join(activity_names, ", ")));
    options.activity = *activity;
  }
  if (!asked.adjusters.empty()) options.adjusters = asked.adjusters;
  return options;
}

Tables tables_of(const Asked& asked) {
  return asked.tables ? Tables::built_in().with_folder(*asked.tables) : Tables::built_in();
}

Formula formula_of(const Asked& asked, const Tables& tables) {
  const ReadOptions options{asked.allow_unlisted};
  if (asked.file != "-") return read_formula_file(asked.file, tables, options);
  const std::string text{std::istreambuf_iterator<char>(std::cin), {}};
  return read_formula(text, "standard input", tables, options);
}

TextStyle style_for(const Asked& asked) {
  TextStyle style;
  style.width = columns();
  style.colour = !asked.no_colour && wants_colour();
  style.utf8 = shows_utf8();
  style.all = asked.all;
  return style;
}

void say(std::string_view message) {
  while (!message.empty()) {
    const auto end = std::min(message.find('\n'), message.size());
    const std::string line = fmt::format("counterion: {}\n", message.substr(0, end));
    std::fwrite(line.data(), 1, line.size(), stderr);  // nobody to tell when it cannot be written
    message.remove_prefix(std::min(end + 1, message.size()));
  }
}

void say_diagnostics(const std::vector<Diagnostic>& diagnostics) {
  for (const auto& diagnostic : diagnostics)
    say(describe(Problem{diagnostic.place, diagnostic.message, {}, {}}));
}

bool write_out(const std::string& text) {
  errno = 0;
  const bool written = std::fwrite(text.data(), 1, text.size(), stdout) == text.size();
  if (written && std::fflush(stdout) == 0) return true;
  if (errno != EPIPE) say(fmt::format("cannot write the answer: {}", std::strerror(errno)));
  return false;
}

bool write_file(const std::string& path, const std::string& text) {
  const std::string unfinished = path + ".unfinished";
  errno = 0;
  std::FILE* file = std::fopen(unfinished.c_str(), "wb");
  bool written = file && std::fwrite(text.data(), 1, text.size(), file) == text.size();
  if (file) written = std::fclose(file) == 0 && written;
  std::error_code error;
  if (written) std::filesystem::rename(unfinished, path, error);
  if (written && !error) return true;
  say(fmt::format("cannot write {}: {}", path, error ? error.message() : std::strerror(errno)));
  std::filesystem::remove(unfinished, error);
  return false;
}

}  // namespace counterion::cli
