// SPDX-License-Identifier: MIT
// The command `counterion`. Exit status: 0 no stop; 1 a stop or no window; 2 usage or input that
// cannot be read; 3 output or internal failure.
#include "asked.hpp"
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
using namespace counterion::cli;

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

constexpr const char* predict_help =
    "Examples:\n"
    "  counterion predict heel-cream.csv\n"
    "  counterion predict heel-cream.csv --reading 3.9\n"
    "  counterion predict toner.csv --hold \"5 mmol acid\"\n"
    "  counterion predict heel-cream.csv --storage \"12 weeks at 40, then 25\" --curve course.svg\n"
    "  counterion predict heel-cream.csv --reading 4.3 --reading \"4.4 after 30 days\"\n\n"
    "Exit status: as check.";

constexpr const char* adjust_help =
    "Examples:\n"
    "  counterion adjust hand-wash.csv\n"
    "  counterion adjust hand-wash.csv --reading 11.8 --reading \"5.0 after 25.7 g citric acid 20 %\"\n"
    "  counterion adjust hand-wash.csv --log readings.csv --adjuster \"lactic acid 80 %\" --curve curve.svg\n\n"
    "Weigh the first addition only; read; ask again with the reading. Exit status: as check.";

constexpr const char* titrate_help =
    "Examples:\n"
    "  counterion titrate hand-wash.csv titration.csv --sample \"50 g\" --with \"citric-acid 10 %\"\n\n"
    "The first line of the titration may be the sample before anything was added (0 g). The sample does not\n"
    "go back into the batch. Exit status: as check.";

constexpr const char* explain_help =
    "Examples:\n"
    "  counterion explain heel-cream.csv --reading 4.6\n"
    "  counterion explain heel-cream.csv --reading 4.6 --found \"measure-again: nothing\" --weight \"490 g\"\n"
    "  counterion explain hand-wash.csv --log readings.csv --method \"strip 0.5\" --dilution \"10 g in 90 g\"\n"
    "  counterion explain hand-wash.csv --log readings.csv --append --reading 5.2\n\n"
    "Exit status: 0 no stop found; 1 the formula, or the batch as its likeliest\n"
    "cause has it, says stop; 2 wrong use or\n"
    "unreadable input; 3 output failed.";

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

int run_check(const Asked& asked) {
  const CheckOptions options = options_of(asked);
  const Tables tables = tables_of(asked);
  const CheckResult result = check(formula_of(asked, tables), tables, options);
  say_diagnostics(result.formula.diagnostics);
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

/// What every command about a formula takes.
void add_formula_options(CLI::App* command, Asked& asked) {
  command->add_option("FORMULA", asked.file, "CSV or JSON file, or - for standard input")->required();
  command->add_flag("--json", asked.json, "Answer as JSON");
  command->add_flag("--all", asked.all, "Every note and full citations");
  command->add_option("--batch", asked.batch, "Size of the batch, such as 500 or \"2 kg\"");
  command->add_option("--target", asked.target, "pH to aim for instead of the suggested one");
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
  command->add_flag("--allow-unlisted", asked.allow_unlisted,
                    "Take materials that no table lists, as not judged");
  command->add_flag("--no-color,--no-colour", asked.no_colour, "No colour");
  add_tables_option(*command, asked);
}

void add_adjuster_option(CLI::App* command, Asked& asked) {
  command->add_option("--adjuster", asked.adjusters,
                      "Acid or alkali to weigh, with its stock's strength if it is another: \"citric acid 50 %\"; may be repeated")
      ->take_all()->expected(1);
}

void add_check(CLI::App& app, Asked& asked) {
  auto* command = app.add_subcommand("check", "The pH a formula needs and will have, and what to weigh");
  command->footer(check_help);
  add_formula_options(command, asked);
  add_adjuster_option(command, asked);
  command->add_option("--without", asked.without,
                      "No remedy brings this in (an ingredient or a class); may be repeated")
      ->take_all()->expected(1);
  command->add_option("--keep", asked.keep, "No remedy changes this; may be repeated")->take_all()->expected(1);
  command->add_flag("--no-remedies", asked.no_remedies, "Do not look for remedies");
}

/// What was read of the batch.
void add_reading_options(CLI::App* command, Asked& asked) {
  command->add_option("--reading", asked.readings,
                      "A reading of the batch: 6.4, \"5.1 after 25.7 g citric acid 20 %\" or \"4.3 after 7 days\";\nmay be repeated, in the order in which they were taken")
      ->take_all()->expected(1);
  command->add_option("--log", asked.log, "Table with what was added, grams and pH (CSV), in place of --reading");
  command->add_option("--scale", asked.scale, "What your scale resolves in grams, 0.01 without it");
  command->add_flag("--ruled-out", asked.ruled_out,
                    "You have checked that nothing was left out, doubled or swapped and that the meter is right:\n"
                    "take readings as they are, however unlikely");
  command->add_option("--storage", asked.storage,
                      "How it is kept, in degrees Celsius: 25, \"12 weeks at 45\" or \"90 days at 40, then 25\";\n"
                      "two years at 25 without it");
  command->add_option("--curve", asked.curve,
                      command->get_name() == "predict" ? "Draw the pH against time into this file (SVG)"
                                                       : "Draw the titration curve into this file (SVG)");
  command->add_option("--hold", asked.hold, "Which buffer would hold the pH against so much acid or base:\n\"5 mmol acid\", \"10 mmol base\", per kg");
}

void add_predict(CLI::App& app, Asked& asked) {
  auto* command = app.add_subcommand("predict", "The pH it will have, how sure that is, and whether it stays");
  command->footer(predict_help);
  add_formula_options(command, asked);
  add_reading_options(command, asked);
}

void add_adjust(CLI::App& app, Asked& asked) {
  auto* command = app.add_subcommand("adjust", "What to weigh in which steps, while the batch is made");
  command->footer(adjust_help);
  add_formula_options(command, asked);
  add_adjuster_option(command, asked);
  command->add_option("--tolerance", asked.tolerance, "How near to the target is near enough, 0.1 without it");
  command->add_option("--neutralise", asked.neutralise, "Aim for so many percent of a carbomer's acid groups neutralised");
  add_reading_options(command, asked);
}

void add_titrate(CLI::App& app, Asked& asked) {
  auto* command = app.add_subcommand("titrate", "What a titration of a small sample says about the batch");
  command->footer(titrate_help);
  add_formula_options(command, asked);
  command->add_option("TITRATION", asked.log, "CSV: grams added and pH read, a line each")->required();
  command->add_option("--sample", asked.sample, "Size of the sample, such as \"50 g\"; not needed where the file has a line # sample: 50 g");
  command->add_option("--with", asked.with, "What was added, such as \"citric-acid 10 %\"; not needed where the file says it");
  add_adjuster_option(command, asked);
  command->add_option("--tolerance", asked.tolerance, "How near to the target is near enough, 0.1 without it");
  command->add_option("--scale", asked.scale, "What your scale resolves in grams, 0.01 without it");
  command->add_option("--curve", asked.curve, "Draw the titration curve into this file (SVG)");
}

/// How the readings were taken.
void add_measuring_options(CLI::App* command, Asked& asked) {
  command->add_option("--method", asked.method, "meter, meter-one-point, meter-two-points, meter-not-calibrated or strip, with its\nsteps where they are not 0.5: \"strip 1\"");
  command->add_option("--buffer", asked.buffers, "What a calibration buffer read: \"4.01 = 4.10\"; may be repeated")->take_all()->expected(1);
  command->add_option("--dilution", asked.dilution, "It was read in water: \"10 g in 90 g\"");
  command->add_option("--sample-temperature", asked.sample_temperature, "Degrees Celsius of what was read");
  command->add_flag("--not-compensated", asked.not_compensated, "The meter does not know of that temperature");
}

void add_explain(CLI::App& app, Asked& asked) {
  auto* command = app.add_subcommand("explain", "Why a batch reads what it reads, what to check, and what mends it");
  command->footer(explain_help);
  add_formula_options(command, asked);
  add_adjuster_option(command, asked);
  command->add_option("--reading", asked.readings,
                      "A reading of the batch: 6.4, or \"5.1 after 25.7 g citric acid 20 %\"; may be repeated,\nin the order in which they were taken")
      ->take_all()->expected(1);
  command->add_option("--log", asked.log, "Table with times, what was added, grams and pH (CSV), in place of --reading");
  command->add_flag("--append", asked.append, "Write --reading into the log first");
  command->add_option("--time", asked.time, "When it was taken, for --append; now (UTC) without it");
  add_measuring_options(command, asked);
  command->add_option("--found", asked.found, "What a check found: \"measure-again: nothing\", \"packs-and-sheet: citric acid\"; may be repeated")
      ->take_all()->expected(1);
  command->add_option("--weight", asked.weight, "What the whole batch weighs, such as \"480 g\"");
  command->add_option("--tolerance", asked.tolerance, "How near to the target is near enough, 0.1 without it");
  command->add_option("--scale", asked.scale, "What your scale resolves in grams, 0.01 without it");
  command->add_option("--lots", asked.lots, "Keep what the readings teach of raw materials in this folder of your own tables");
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
  asked.words.assign(argv + 1, argv + argc);
  app.set_version_flag("--version", fmt::format("counterion {} (tables {})", COUNTERION_VERSION,
                                                Tables::built_in().version()));
  app.footer(examples);
  app.require_subcommand(1);
  add_check(app, asked);
  add_predict(app, asked);
  add_adjust(app, asked);
  add_titrate(app, asked);
  add_explain(app, asked);
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
  if (app.got_subcommand("predict")) return run_predict(asked);
  if (app.got_subcommand("adjust")) return run_adjust(asked);
  if (app.got_subcommand("titrate")) return run_titrate(asked);
  if (app.got_subcommand("explain")) return run_explain(asked);
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
