// SPDX-License-Identifier: MIT
#include <counterion/report/explanation.hpp>

#include "sections.hpp"
#include "words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace counterion {
namespace report {
namespace {

constexpr std::size_t most_causes = 5, most_causes_all = 8, most_outcomes = 3, causes_described = 3;
constexpr double worth_naming = 0.01;

/// As sure as it is: "about 60 %", "less than 1 %".
std::string chance_text(double probability) {
  const double percent = 100 * probability;
  if (percent > 99) return fmt::format("over 99{}%", no_break);
  if (percent < 1) return fmt::format("less than 1{}%", no_break);
  const double step = percent < 10 || percent > 90 ? 1 : 5;
  return fmt::format("about{}{:.0f}{}%", no_break, step * std::round(percent / step), no_break);
}

/// "one batch in 300", rounded to one digit.
std::string once_text(double once_in) {
  if (once_in > 1e6) return "one batch in over a million";
  const double digit = std::pow(10, std::floor(std::log10(once_in)));
  return fmt::format("one batch in {:.0f}", std::round(once_in / digit) * digit);
}

std::string grams_text(double grams) {
  return fmt::format("{}{}g", amount_text(grams), no_break);
}

const Cause& first_cause(const Explanation& explanation) {
  return explanation.explained.causes.front();
}

const Mend* mend_of(const Explanation& explanation, std::size_t cause) {
  for (const auto& mend : explanation.mends)
    if (mend.cause == cause && mend.first) return &mend;
  return nullptr;
}

// ---- the answer ----

std::string title(const Formula& formula) {
  const bool placed = !formula.items.empty() && !formula.items.front().place.file.empty();
  const std::string name = !formula.name.empty() ? formula.name
                           : placed              ? formula.items.front().place.file
                                                 : "Formula";
  return fmt::format("{} ({}{})", printable(name), grams_text(formula.batch_g),
                     formula.batch_stated ? "" : " assumed");
}

std::string difference_text(const MeasurementInLight& measured) {
  switch (measured.difference) {
    case Difference::inside:
      return std::abs(measured.surprise) < 1 ? "well inside what is expected"
                                             : "inside what is expected";
    case Difference::may_be_chance:
      return fmt::format("may be chance: {} reads so far off", once_text(measured.once_in));
    case Difference::real:
      break;
  }
  return fmt::format("real; by chance only {} reads so far off", once_text(measured.once_in));
}

Look look_of(Difference difference) {
  return difference == Difference::real            ? Look::bad
         : difference == Difference::may_be_chance ? Look::warning
                                                   : Look::good;
}

std::string likely_line(const Explanation& explanation) {
  const auto& explained = explanation.explained;
  std::string text = fmt::format("{}, {}", unbroken(first_cause(explanation).hypothesis.what),
                                 chance_text(first_cause(explanation).probability));
  if (explained.near_equal == 2)
    text += fmt::format("; about as likely: {}", unbroken(explained.causes[1].hypothesis.what));
  else if (explained.near_equal > 2)
    text += fmt::format("; {} others are about as likely", explained.near_equal - 1);
  return text + ".";
}

std::string weighings_text(const Mend& mend) {
  std::vector<std::string> words;
  for (const auto& one : mend.weighings)
    words.push_back(fmt::format("{} of {}{}", grams_text(one.grams), unbroken(one.name),
                                one.stock_percent < 100
                                    ? fmt::format(", {:g}{}% in water", one.stock_percent, no_break)
                                    : ""));
  return joined(words);
}

/// What to do, without grams where they are withheld.
std::string action_text(const Mend& mend, bool all) {
  double sum = 0;
  for (const auto& one : mend.weighings) sum += one.grams;
  const bool grams = !mend.weighings.empty();
  const auto weigh = weighings_text(mend);
  switch (mend.action) {
    case MendAction::accept:
      return "leave it as it is";
    case MendAction::read_again:
      return "read it again, and only then decide";
    case MendAction::wait:
      return "wait, and read it again";
    case MendAction::weigh_in:
      return grams ? fmt::format("weigh in {}", weigh) : "weigh in what is missing";
    case MendAction::make_up_with_water:
      return grams ? fmt::format("make it up to {} with {}", grams_text(*mend.batch_g), weigh)
                   : "make it up with water to what it should weigh";
    case MendAction::make_larger:
      if (!grams) return "make the batch larger with more of everything else";
      return all ? fmt::format("make it larger, {} in all, with {}", grams_text(*mend.batch_g),
                               weigh)
                 : fmt::format(
                       "make it larger, {} in all, with {} of everything else (--all lists it)",
                       grams_text(*mend.batch_g), grams_text(sum));
    case MendAction::dose:
      return grams ? fmt::format("add {}", weigh) : "bring it back with acid or alkali";
    case MendAction::remake:
      return "make it anew";
    case MendAction::throw_away:
      break;
  }
  return "throw it away";
}

bool changes_the_batch(MendAction action) {
  return action == MendAction::weigh_in || action == MendAction::make_up_with_water ||
         action == MendAction::make_larger || action == MendAction::dose;
}

std::vector<const Mend*> alike(const Explanation& explanation, const Mend& mend);
Mend least_of(const std::vector<const Mend*>& mends);

/// The mend of the first cause.
std::string do_line(const Explanation& explanation) {
  const auto& explained = explanation.explained;
  const Mend* mend = mend_of(explanation, 0);
  if (!explanation.withheld.empty() && !explained.checks.empty())
    return fmt::format("first check: {} Add nothing before that.",
                       explained.checks.front().what_to_do.empty()
                           ? explained.checks.front().check
                           : explained.checks.front().what_to_do.front());
  if (!mend) return "read it once more.";
  const auto& cause = first_cause(explanation);
  if (mend->action == MendAction::read_again || mend->action == MendAction::wait)
    return cause.what_to_check + " Add nothing before that.";
  std::string text;
  if (cause.hypothesis.kind == "none" && changes_the_batch(mend->action))
    text = "nothing is wrong with it; as it stands it still needs its pH set: ";
  text += action_text(least_of(alike(explanation, *mend)), false);
  if (mend->after.ph && changes_the_batch(mend->action) && mend->withheld.empty())
    text += fmt::format("; it then has about pH {}", ph_text(*mend->after.ph));
  return text + "." + (mend->withheld.empty() ? "" : " " + mend->withheld);
}

void say_short_answer(Page& page, const Explanation& explanation) {
  page.paragraph(page.look(Look::strong, title(page.result.formula)), 0, 2);
  if (!explanation.measurement) {
    page.labelled("Reading", "means nothing here: " + page.result.no_prediction + ".");
    return;
  }
  const auto& measured = *explanation.measurement;
  page.labelled(
      "Reading",
      fmt::format(
          "{}, expected {}{} ({} to {} nine times in ten): ", ph_text(measured.quality.read_ph),
          measured.by_readings_before ? "by the readings before it " : "",
          ph_text(measured.expected), ph_text(measured.low), ph_text(measured.high)) +
          page.look(look_of(measured.difference), difference_text(measured) + "."));
  page.labelled("Likely", likely_line(explanation));
  page.labelled("Do", do_line(explanation));
  if (explanation.check.stop())
    page.labelled("Stop", "the formula itself says so; counterion check shows why.", Look::bad);
  else if (explanation.stop())
    page.labelled("Stop", "with this cause the batch must not go out as it is.", Look::bad);
}

// ---- the measurement ----

std::string effect_text(const ReadingEffect& effect) {
  std::string size;
  if (effect.shift_ph != 0) size = fmt::format("{:+.2f} pH", effect.shift_ph);
  if (effect.half_ph > 0)
    size += fmt::format("{}±{:.2f} pH", size.empty() ? "" : ", ", effect.half_ph);
  return fmt::format("{}: {}. Better: {}.", effect.what, size, effect.what_to_do);
}

void say_measurement(Page& page, const Explanation& explanation) {
  const auto& quality = explanation.measurement->quality;
  page.heading(fmt::format(
      "How good the reading is: {} off by less than {:.2f} pH nine times in ten",
      explanation.options.taken.back().measuring.method == Method::strip ? "a strip" : "the meter",
      explanation.measurement->half_of_tools));
  if (std::abs(quality.corrected_ph - quality.read_ph) > 0.005)
    page.paragraph(fmt::format("Read {}; the product itself then has {}.", ph_text(quality.read_ph),
                               ph_text(quality.corrected_ph)),
                   2, 4);
  const std::size_t most = page.style.all ? quality.effects.size() : 2;
  std::size_t shown = 0;
  for (const auto& effect : quality.effects) {
    const bool known = effect.shift_ph != 0;  // what moves it is always said
    if (!known && shown++ >= most) continue;
    page.paragraph(effect_text(effect) + page.cite(effect.source, effect.row_id), 2, 4);
  }
}

// ---- the causes ----

/// How often a mishap happens at all is nobody's measurement.
constexpr std::string_view caveat =
    "How likely each is rests on the sums above and on how often such things happen (an "
    "assumption).";

std::string cited_mishap(Page& page, const Cause& cause) {
  if (!page.style.all) return {};
  for (const auto& row : page.result.tables.mishaps())
    if (row.id == cause.hypothesis.mishap)
      return page.cite(std::string(row.provenance.source), std::string(row.provenance.row_id));
  return {};
}

std::size_t causes_shown(const Page& page, const Explanation& explanation) {
  const auto& causes = explanation.explained.causes;
  const std::size_t most = std::min(page.style.all ? most_causes_all : most_causes, causes.size());
  std::size_t shown = 0;
  while (shown < most &&
         (shown == 0 || page.style.all || causes[shown].probability >= worth_naming))
    ++shown;
  return shown;
}

std::string finding_text(const Explanation& explanation, const Finding& finding) {
  if (finding.grams) return fmt::format("the batch weighs {}", grams_text(*finding.grams));
  std::string text = finding.check + ": " + (finding.kind.empty() ? "nothing" : finding.kind);
  return finding.item ? text + " of " + item_name(explanation.check, *finding.item) : text;
}

void say_findings(Page& page, const Explanation& explanation) {
  std::vector<std::string> words;
  for (const auto& finding : explanation.options.findings)
    words.push_back(finding_text(explanation, finding));
  if (!words.empty()) page.paragraph("Counted in: " + joined(words) + ".", 2, 4);
}

void say_causes(Page& page, const Explanation& explanation) {
  const auto& explained = explanation.explained;
  page.heading(fmt::format("What it may be, of {} things thought of", explained.thought_of));
  say_findings(page, explanation);
  if (explained.near_equal > 1)
    page.paragraph(
        page.look(Look::warning, fmt::format("The first {} are about as likely as each other.",
                                             explained.near_equal)),
        2, 4);
  for (std::size_t c = 0; c < causes_shown(page, explanation); ++c) {
    const auto& cause = explained.causes[c];
    std::string text = fmt::format("{}. {}: {}", c + 1, chance_text(cause.probability),
                                   page.look(Look::strong, unbroken(cause.hypothesis.what)));
    if (cause.ph) text += fmt::format(" (pH {:.1f} with it)", *cause.ph);
    text += ".";
    if (c < causes_described || page.style.all) text += " " + cause.how_it_shows;
    page.paragraph(text + cited_mishap(page, cause), 2, 5);
  }
  if (explained.causes.front().likely.any_batch)
    page.paragraph("Nothing else that was thought of reads so well; it may also be something that was not "
                   "thought of.", 2, 2);
  page.paragraph(page.look(Look::faint, caveat), 2, 2);
}

// ---- the checks ----

/// The number of a cause in the list above, or its name.
std::string short_cause(const Page& page, const Explanation& explanation, std::size_t cause) {
  if (cause < causes_shown(page, explanation)) return fmt::format("cause{}{}", no_break, cause + 1);
  return unbroken(explanation.explained.causes[cause].hypothesis.what);
}

/// What is found; a cause by its number.
std::string found_text(const Page& page, const Explanation& explanation, const std::string& what) {
  const auto& causes = explanation.explained.causes;
  for (std::size_t c = 0; c < causes_shown(page, explanation); ++c)
    if (causes[c].hypothesis.what == what) return "it shows " + short_cause(page, explanation, c);
  return unbroken(what);
}

std::string outcome_text(const Page& page, const Explanation& explanation,
                         const CheckOutcome& outcome) {
  std::vector<std::string> leading;
  for (const auto& [cause, probability] : outcome.leading)
    if (probability > 0.1 || leading.empty())
      leading.push_back(
          fmt::format("{} ({})", short_cause(page, explanation, cause), chance_text(probability)));
  return fmt::format("If {} ({}): then {}.", found_text(page, explanation, outcome.what),
                     chance_text(outcome.probability), fmt::format("{}", fmt::join(leading, ", ")));
}

void say_check(Page& page, const Explanation& explanation, const AdvisedCheck& check) {
  std::vector<std::string> sentences = check.what_to_do;
  if (sentences.size() > 2 && !page.style.all) sentences.resize(2);
  std::string text = fmt::format("{:g} minutes:", check.minutes);
  for (const auto& sentence : sentences) text += " " + sentence;
  page.paragraph(text, 2, 4);
  const std::size_t most = page.style.all ? check.outcomes.size() : most_outcomes;
  for (std::size_t o = 0; o < std::min(most, check.outcomes.size()); ++o)
    page.paragraph(outcome_text(page, explanation, check.outcomes[o]), 4, 6);
}

void say_checks(Page& page, const Explanation& explanation) {
  const auto& checks = explanation.explained.checks;
  const bool as_expected = first_cause(explanation).hypothesis.kind == "none" &&
                           explanation.measurement->difference == Difference::inside;
  if (checks.empty() || (as_expected && !page.style.all)) return;
  page.heading("What to check first, and what each outcome would mean");
  const std::size_t most = page.style.all ? checks.size() : 1;
  for (std::size_t c = 0; c < std::min(most, checks.size()); ++c)
    say_check(page, explanation, checks[c]);
  const auto& first = checks.front();
  page.paragraph(
      page.look(
          Look::faint,
          fmt::format("Then ask again with {}.",
                      first.check == "weigh-batch"
                          ? std::string("--weight and its grams")
                          : fmt::format("--found \"{}: nothing\", or what it found", first.check))),
      2, 4);
}

// ---- what to do ----

/// What is wrong with the batch as a cause has it.
std::string standing_text(Page& page, const Standing& standing) {
  std::vector<std::string> words;
  for (const auto& caution : standing.new_cautions)
    words.push_back(fmt::format("{}: {}{}",
                                caution.severity == tables::Severity::stop ? "stop" : "caution",
                                caution.what_happens, page.cite(caution.source, caution.row_id)));
  for (const auto& limit : standing.limits) {
    std::vector<std::string> names;
    for (const std::size_t i : limit.items) names.push_back(unbroken(standing.names.at(i)));
    words.push_back(fmt::format("{} {}{}%, over the limit of {} ({}{}%){}", joined(names),
                                amount_text(limit.percent), no_break, limit.market,
                                amount_text(limit.maximum_percent), no_break,
                                page.cite(limit.source, limit.row_id)));
  }
  if (standing.preservation == PreservationChange::lost)
    words.emplace_back("the preservative is too weak");
  if (standing.preservation == PreservationChange::weaker)
    words.emplace_back("less is left against microbes");
  return fmt::format("{}", fmt::join(words, "; "));
}

/// Whether two causes ask for the same, give or take some grams.
bool are_alike(const Explanation& explanation, const Mend& a, const Mend& b) {
  const auto &one = explanation.standings[a.cause], &other = explanation.standings[b.cause];
  const bool same_things =
      std::ranges::equal(a.weighings, b.weighings, [](const Weighing& x, const Weighing& y) {
        return x.ingredient == y.ingredient && x.stock_percent == y.stock_percent;
      });
  if (!a.first || !b.first || a.action != b.action || !same_things || a.withheld != b.withheld)
    return false;
  if (a.action == MendAction::read_again) return true;
  return a.weighings.size() == 1 && one.preservation == other.preservation &&
         one.limits.size() == other.limits.size() &&
         one.new_cautions.size() == other.new_cautions.size();
}

/// Mends that are the same for several causes are said once, with the first of them.
std::vector<const Mend*> alike(const Explanation& explanation, const Mend& mend) {
  std::vector<const Mend*> all;
  for (const auto& other : explanation.mends)
    if (&other == &mend || are_alike(explanation, other, mend)) all.push_back(&other);
  return all;
}

std::string numbers_of(const std::vector<const Mend*>& mends) {
  std::vector<std::string> numbers;
  for (const auto* mend : mends) numbers.push_back(std::to_string(mend->cause + 1));
  return joined(numbers);
}

/// The least that all of them ask for.
Mend least_of(const std::vector<const Mend*>& mends) {
  return **std::ranges::min_element(mends, {}, [](const Mend* mend) {
    return mend->weighings.empty() ? 0 : mend->weighings.front().grams;
  });
}

void say_mend(Page& page, const Explanation& explanation, const Mend& mend) {
  const auto same = alike(explanation, mend);
  std::string text = mend.first ? numbers_of(same) + ". " : "Or ";
  text +=
      page.look(Look::strong, action_text(same.size() > 1 ? least_of(same) : mend, page.style.all));
  if (same.size() > 1 && !mend.weighings.empty())
    text += " (the least of what these causes ask for)";
  if (mend.after.ph && changes_the_batch(mend.action))
    text += fmt::format("; then about pH {}", ph_text(*mend.after.ph));
  text += ". " + mend.why;
  if (!mend.withheld.empty() && mend.withheld != explanation.withheld)
    text += " " + page.look(Look::bad, mend.withheld);
  page.paragraph(text, mend.first ? 2 : 5, 5);
  if (!mend.first) return;
  if (const auto now = standing_text(page, explanation.standings[mend.cause]); !now.empty())
    page.paragraph(page.look(Look::warning, "As it would be now: " + now + "."), 5, 5);
  if (!changes_the_batch(mend.action)) return;
  if (const auto after = standing_text(page, mend.after); !after.empty())
    page.paragraph(page.look(Look::warning, "It would still have: " + after + "."), 5, 5);
}

void say_mends(Page& page, const Explanation& explanation) {
  if (explanation.mends.empty()) return;
  page.heading("What to do now, by the numbers above");
  if (!explanation.withheld.empty())
    page.paragraph(page.look(Look::bad, unbroken(explanation.withheld)), 2, 4);
  for (const auto& mend : explanation.mends)
    if ((mend.first || page.style.all) && alike(explanation, mend).front() == &mend)
      say_mend(page, explanation, mend);
}

// ---- the rest ----

void say_change(Page& page, const Explanation& explanation) {
  if (!explanation.change) return;
  const auto& change = *explanation.change;
  page.heading("Since it was mixed");
  page.paragraph(fmt::format("From day {:.3g} to day {:.3g} it moved by {:+.2f}; {:+.2f} was "
                             "forecast ({:+.2f} to {:+.2f} nine "
                             "times in ten): ",
                             change.from_days, change.to_days, change.read, change.expected,
                             change.low, change.high) +
                     (change.as_forecast ? page.look(Look::good, "as forecast.")
                                         : page.look(Look::warning, "not as forecast.")),
                 2, 4);
}

void say_log(Page& page, const Explanation& explanation) {
  if (explanation.set_aside > 0)
    page.paragraph(fmt::format("Of very many readings the first and the last {} count, {} do not.",
                               most_readings - 1, explanation.set_aside),
                   2, 4);
  const auto& log = explanation.options.log;
  if (!log || (log->broken.empty() && log->left_out == 0)) return;
  page.heading("The log");
  if (!log->broken.empty())
    page.paragraph(
        page.look(Look::warning,
                  fmt::format("{} of its lines {} at fault and not used as written.",
                              log->broken.size(), log->broken.size() == 1 ? "is" : "are")),
        2, 4);
  if (log->left_out > 0)
    page.paragraph(
        page.look(
            Look::warning,
            fmt::format("{} reading{} after an addition that cannot be read in full {} not used.",
                        log->left_out, log->left_out == 1 ? "" : "s",
                        log->left_out == 1 ? "is" : "are")),
        2, 4);
}

void say_lots(Page& page, const Explanation& explanation) {
  std::vector<std::string> words;
  for (const auto& lot : explanation.lots)
    if (lot.worth_keeping)
      words.push_back(fmt::format("{} {:.2g} meq/g ({:.2g} to {:.2g})", unbroken(lot.name),
                                  lot.middle, lot.low, lot.high));
  if (words.empty()) return;
  page.heading("What it teaches of your raw materials");
  page.paragraph(joined(words) +
                     " (meq/g: thousandths of a mole of alkali in a gram, acid where below 0). "
                     "--lots FOLDER keeps it for the next batch.",
                 2, 4);
}

}  // namespace
}  // namespace report

std::string text_report(const Explanation& explanation, const TextStyle& style) {
  report::Page page(explanation.check, style);
  report::say_short_answer(page, explanation);
  if (!explanation.explained.causes.empty()) {
    report::say_measurement(page, explanation);
    report::say_causes(page, explanation);
    report::say_checks(page, explanation);
    report::say_mends(page, explanation);
  }
  report::say_change(page, explanation);
  report::say_log(page, explanation);
  report::say_lots(page, explanation);
  report::say_sources(page);
  page.paragraph(
      "Not a safety or legal assessment: a qualified safety assessor, the law where you sell and a "
      "challenge test decide.",
      2, 2);
  return std::move(page).finish();
}

}  // namespace counterion
