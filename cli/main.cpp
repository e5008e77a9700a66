// SPDX-License-Identifier: MIT
// The command `counterion`. Exit status: 0 no stop; 1 a stop or no window; 2 usage or input that
// cannot be read; 3 output or internal failure.
#include "terminal.hpp"

#include <counterion/formula/read.hpp>
#include <counterion/report/ingredient.hpp>
#include <counterion/report/json.hpp>
#include <counterion/report/text.hpp>
#include <counterion/text/names.hpp>
#include <counterion/text/number.hpp>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <iostream>
#include <iterator>
#include <sstream>

namespace {

using namespace counterion;

enum Status { no_stop = 0, stop = 1, bad_input = 2, failure = 3 };

constexpr const char* examples =
    "Example:\n"
    "  counterion check heel-cream.csv --batch \"2 kg\"\n\n"
    "A formula is a table as a spreadsheet saves it (CSV): a column with ingredients, a column\n"
    "with percent or grams. It tells the pH that the formula needs and will have, and what to\n"
    "weigh. It is not a safety or legal assessment.";

constexpr const char* check_help =
    "Examples:\n"
    "  counterion check heel-cream.csv\n"
    "  counterion check heel-cream.csv --batch \"2 kg\" --target 4.5 --adjuster lactic-acid-80\n"
    "  counterion check - --json < heel-cream.csv\n\n"
    "Exit status: 0 no stop found; 1 a stop, or no pH suits everything; 2 wrong use or unreadable\n"
    "input; 3 output failed.";

constexpr const char* ingredient_help =
    "Examples:\n"
    "  counterion ingredient urea\n"
    "  counterion ingredient \"lactic acid 80 %\" --json\n\n"
    "A name is an id, an INCI name, a CAS number or what people call it.";

constexpr const char* tables_help =
    "Examples:\n"
    "  counterion tables my-materials\n\n"
    "The folder holds tables named as the built-in ones (ingredients.csv, composition.csv, ranges.csv,\n"
    "levels.csv, …), as many as there are; check and ingredient lay it over the built-in tables with\n"
    "--tables. Exit status: 0 all rows are fine; 2 some are not, each told with file, line and column.";

/// What was typed after a command.
struct Asked {
  std::optional<std::string> tables;
  std::string file;
  std::string batch, target, temperature, activity, type, use, jurisdiction;
  std::string meter;
  std::vector<std::string> adjusters, without, keep;
  bool no_remedies = false;
  bool json = false, all = false, no_colour = false, allow_unlisted = false;
};

[[noreturn]] void refuse(std::string found, std::string expected) {
  throw BadInput({{{}, std::move(found), std::move(expected), {}}});
}

double number_of(const std::string& text, std::string_view option, std::string_view expected) {
  const auto reading = text::read_number(text);
  if (!reading.number || !reading.number->unit.empty())
    refuse(fmt::format("{} is '{}'", option, text), std::string(expected));
  return reading.number->value;
}

/// "500", "500 g", "2 kg" in grams.
double batch_g(const std::string& text) {
  const auto number = text::read_number(text).number;
  const std::string unit = number ? number->unit : "none";
  if (!number || !(number->value > 0) || (!unit.empty() && unit != "g" && unit != "kg"))
    refuse(fmt::format("--batch is '{}'", text), "a mass such as 500, \"500 g\" or \"2 kg\"");
  return number->value * (unit == "kg" ? 1000 : 1);
}

CheckOptions options_of(const Asked& asked) {
  CheckOptions options;
  options.product_type = asked.type;
  options.use = asked.use;
  options.jurisdiction = asked.jurisdiction;
  if (!asked.batch.empty()) options.batch_g = batch_g(asked.batch);
  if (!asked.target.empty()) options.target = pH(number_of(asked.target, "--target", "a pH such as 4.5"));
  if (!asked.meter.empty()) options.meter_ph = number_of(asked.meter, "--meter", "pH units such as 0.1");
  options.remedies = !asked.no_remedies;
  options.without = asked.without;
  options.keep = asked.keep;
  if (!asked.temperature.empty())
    options.temperature =
        celsius(number_of(asked.temperature, "--temperature", "degrees Celsius such as 25"));
  if (!asked.activity.empty()) {
    const auto activity = activity_named(asked.activity);
    if (!activity)
      refuse(fmt::format("--activity is '{}'", asked.activity), fmt::format("one of {}", fmt::join(activity_names, ", ")));
    options.activity = *activity;
  }
  if (!asked.adjusters.empty()) options.adjusters = asked.adjusters;
  return options;
}

/// The built-in tables, the user's own laid over them where a folder was named.
Tables tables_of(const Asked& asked) {
  return asked.tables ? Tables::built_in().with_folder(*asked.tables) : Tables::built_in();
}

Formula formula_of(const Asked& asked, const Tables& tables) {
  const ReadOptions options{asked.allow_unlisted};
  if (asked.file != "-") return read_formula_file(asked.file, tables, options);
  const std::string text{std::istreambuf_iterator<char>(std::cin), {}};
  return read_formula(text, "standard input", tables, options);
}

/// Every line of a message, with the command's name before it.
void say(std::string_view message) {
  while (!message.empty()) {
    const auto end = std::min(message.find('\n'), message.size());
    const std::string line = fmt::format("counterion: {}\n", message.substr(0, end));
    std::fwrite(line.data(), 1, line.size(), stderr);  // nobody to tell when it cannot be written
    message.remove_prefix(std::min(end + 1, message.size()));
  }
}

/// Whether all of it arrived; a reader that has gone away is no news worth a message.
bool write_out(const std::string& text) {
  errno = 0;
  const bool written = std::fwrite(text.data(), 1, text.size(), stdout) == text.size();
  if (written && std::fflush(stdout) == 0) return true;
  if (errno != EPIPE) say(fmt::format("cannot write the answer: {}", std::strerror(errno)));
  return false;
}

TextStyle style_for(const Asked& asked) {
  TextStyle style;
  style.width = cli::columns();
  style.colour = !asked.no_colour && cli::wants_colour();
  style.utf8 = cli::shows_utf8();
  style.all = asked.all;
  return style;
}

int run_check(const Asked& asked) {
  const CheckOptions options = options_of(asked);
  const Tables tables = tables_of(asked);
  const CheckResult result = check(formula_of(asked, tables), tables, options);
  for (const auto& diagnostic : result.formula.diagnostics)
    say(describe(Problem{diagnostic.place, diagnostic.message, {}, {}}));
  const std::string answer =
      asked.json ? json_report(result) + "\n" : text_report(result, style_for(asked));
  if (!write_out(answer)) return failure;
  return result.stop() ? stop : no_stop;
}

int run_ingredient(const Asked& asked) {
  const auto facts = facts_of(asked.file, tables_of(asked));
  const std::string answer = asked.json ? json_report(facts) + "\n" : text_report(facts, style_for(asked));
  return write_out(answer) ? no_stop : failure;
}

/// Counts of rows, and what of them differs from the built-in tables.
std::string counts_text(const Tables& tables, bool alone) {
  std::string text;
  const auto built_in = Tables::built_in().row_counts();
  const auto counts = tables.row_counts();
  for (std::size_t i = 0; i < counts.size(); ++i) {
    const auto difference = static_cast<long>(counts[i].second) - static_cast<long>(built_in[i].second);
    text += fmt::format("  {:12} {:5} rows", counts[i].first, counts[i].second);
    if (!alone && difference != 0) text += fmt::format(" ({:+})", difference);
    text += '\n';
  }
  return text;
}

/// Whether a folder is a whole set of tables and not one to lay over others.
bool holds_every_table(const std::filesystem::path& folder) {
  std::error_code error;
  for (const auto& [table, rows] : Tables::built_in().row_counts())
    if (!std::filesystem::exists(folder / (table + ".csv"), error)) return false;
  return true;
}

int run_tables(const Asked& asked) {
  const bool alone = holds_every_table(asked.file);
  const Tables tables = alone ? Tables::from_folder(asked.file) : Tables::built_in().with_folder(asked.file);
  const std::string answer = fmt::format(
      "{}: all rows are fine{}\n{}  SHA-256 {}\n", asked.file,
      alone ? ", the folder stands alone" : "; laid over the built-in tables they make", counts_text(tables, alone),
      tables.sha256());
  return write_out(answer) ? no_stop : failure;
}

/// The known word nearest to a mistyped one; empty when none is near.
std::string nearest(const std::string& typed, const std::vector<std::string>& known) {
  std::string best;
  std::size_t least = text::forgiven_edits(typed.size()) + 1;
  for (const auto& word : known) {
    const std::size_t distance = text::edit_distance(typed, word, least);
    if (distance < least) least = distance, best = word;
  }
  return best;
}

std::vector<std::string> options_known(const CLI::App& app) {
  std::vector<std::string> names;
  for (const CLI::Option* option : app.get_options())
    for (const auto& name : option->get_lnames()) names.push_back("--" + name);
  return names;
}

std::vector<std::string> commands_known(const CLI::App& app) {
  std::vector<std::string> names;
  for (const CLI::App* command : app.get_subcommands({})) names.push_back(command->get_name());
  return names;
}

/// The first word that nobody understood, said with the nearest known one.
std::string misunderstanding(const CLI::App& app, const CLI::ParseError& error) {
  const auto left = app.remaining(true);
  if (left.empty()) return error.what();
  const std::string& typed = left.front();
  const bool option = typed.starts_with("-") && typed != "-";
  const auto used = app.get_subcommands();
  const bool command = !option && used.empty();
  const std::string guess =
      command ? nearest(typed, commands_known(app))
      : option ? nearest(typed.substr(0, typed.find('=')), options_known(used.empty() ? app : *used.front()))
               : "";
  std::string text = fmt::format("{} '{}'", command ? "no command is called"
                                            : option ? "no option is called" : "one thing at a time: what is", typed);
  return text + (guess.empty() ? "" : fmt::format("; did you mean '{}'?", guess));
}

void add_tables_option(CLI::App& command, Asked& asked) {
  command.add_option("--tables", asked.tables, "Folder of your own tables, laid over the built-in ones");
}

void add_check(CLI::App& app, Asked& asked) {
  auto* command = app.add_subcommand("check", "The pH a formula needs and will have, and what to weigh");
  command->footer(check_help);
  command->add_option("FORMULA", asked.file, "CSV or JSON file, or - for standard input")->required();
  command->add_flag("--json", asked.json, "Answer as JSON");
  command->add_flag("--all", asked.all, "Every note and full citations");
  command->add_option("--batch", asked.batch, "Size of the batch, such as 500 or \"2 kg\"");
  command->add_option("--target", asked.target, "pH to aim for instead of the suggested one");
  command->add_option("--adjuster", asked.adjusters, "Acid or alkali to weigh; may be repeated")
      ->take_all()->expected(1);
  command->add_option("--type", asked.type,
                      fmt::format("Kind of product: {}", fmt::join(product_types, ", ")));
  command->add_option("--use", asked.use, "leave-on or rinse-off");
  command->add_option("--jurisdiction", asked.jurisdiction,
                      "Limits of Canada, China, EU, Japan or US; the strictest of all without it");
  command->add_option("--temperature", asked.temperature, "Degrees Celsius, 25 without it");
  command->add_option("--activity", asked.activity,
                      "How ions feel each other: davies (without it), specific-ion for concentrated\n"
                      "salt, extended-debye-huckel, ideal");
  command->add_option("--meter", asked.meter, "What your meter or strip may be off by, 0.1 without it; strips 0.5");
  command->add_option("--without", asked.without,
                      "No remedy brings this in (an ingredient or a class); may be repeated")
      ->take_all()->expected(1);
  command->add_option("--keep", asked.keep, "No remedy changes this; may be repeated")->take_all()->expected(1);
  command->add_flag("--no-remedies", asked.no_remedies, "Do not look for remedies");
  command->add_flag("--allow-unlisted", asked.allow_unlisted,
                    "Take materials that no table lists, as not judged");
  command->add_flag("--no-color,--no-colour", asked.no_colour, "No colour");
  add_tables_option(*command, asked);
}

void add_ingredient(CLI::App& app, Asked& asked) {
  auto* command = app.add_subcommand("ingredient", "All that is known of one ingredient, with sources");
  command->footer(ingredient_help);
  command->add_option("NAME", asked.file, "Its name, INCI name, CAS number or id")->required();
  command->add_flag("--json", asked.json, "Answer as JSON");
  command->add_flag("--no-color,--no-colour", asked.no_colour, "No colour");
  add_tables_option(*command, asked);
}

void add_tables(CLI::App& app, Asked& asked) {
  auto* command = app.add_subcommand("tables", "Check a folder of your own tables");
  command->footer(tables_help);
  command->add_option("FOLDER", asked.file, "Folder with tables such as ranges.csv")->required();
}

int run(int argc, char** argv) {
  CLI::App app("Which pH a skin-care formula needs, which it will have, and what to weigh.", "counterion");
  Asked asked;
  app.set_version_flag("--version", fmt::format("counterion {} (tables {})", COUNTERION_VERSION,
                                                Tables::built_in().version()));
  app.footer(examples);
  app.require_subcommand(1);
  add_check(app, asked);
  add_ingredient(app, asked);
  add_tables(app, asked);
  if (argc < 2) {
    std::cerr << app.help();
    return bad_input;
  }
  try {
    app.parse(argc, argv);
  } catch (const CLI::Success& wanted) {
    std::ostringstream out;
    app.exit(wanted, out, out);
    return write_out(out.str()) ? no_stop : failure;
  } catch (const CLI::ParseError& error) {
    say(misunderstanding(app, error));
    const auto used = app.get_subcommands();
    say(fmt::format("see: counterion {} --help", used.empty() ? "check" : used.front()->get_name()));
    return bad_input;
  }
  if (app.got_subcommand("ingredient")) return run_ingredient(asked);
  return app.got_subcommand("tables") ? run_tables(asked) : run_check(asked);
}

}  // namespace

int main(int argc, char** argv) {
  cli::ignore_closed_pipes();
  try {
    return run(argc, argv);
  } catch (const Error& error) {
    say(error.what());
    return bad_input;
  } catch (const std::exception& error) {
    say(fmt::format("this should not have happened: {}", error.what()));
    return failure;
  }
}
