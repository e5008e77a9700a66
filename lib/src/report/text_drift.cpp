// SPDX-License-Identifier: MIT
#include "batch_sections.hpp"
#include "words.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>

namespace counterion::report {
namespace {

constexpr double week_days = 7, month_days = 30.4375, year_days = 365.25;
/// Smaller moves than these nobody reads on a meter; of the second an open jar is worth a word.
constexpr double seen_ph = 0.02, air_worth_saying_ph = 0.05;

std::string counted(double count, std::string_view unit) {
  return fmt::format("{:.0f}{}{}{}", count, no_break, unit, std::lround(count) == 1 ? "" : "s");
}

bool is_whole(double count) {
  return count > 0.9 && std::abs(count - std::round(count)) < 0.02 * count;
}

/// Two decimals where the interval is narrow, else one.
std::string ph_in(double ph, double low, double high) {
  return fmt::format("{:.{}f}", ph, high - low > 0.3 ? 1 : 2);
}
std::string interval_text(double low, double high) {
  return ph_in(low, low, high) + " to " + ph_in(high, low, high);
}

/// Says every sentence once.
class Sentences {
 public:
  void add(const std::string& sentence) {
    if (!sentence.empty() && !std::ranges::count(all_, sentence)) all_.push_back(sentence);
  }
  void say(Page& page) const {
    if (!all_.empty()) page.paragraph(fmt::format("{}", fmt::join(all_, " ")), 2, 4);
  }

 private:
  std::vector<std::string> all_;
};

bool has_quick_change(const Drift& drift) {
  return std::ranges::any_of(
      drift.causes, [](const DriftCause& c) { return c.quick && std::abs(c.shift_ph) >= seen_ph; });
}

/// The times that people name, and the ends of stays.
bool is_shown(double days, const Keeping& keeping) {
  constexpr std::array usual{1.0, 7.0, 30.4, 91.3, 365.25, 730.5};
  if (days == 0) return has_quick_change(keeping.drift);
  if (keeping.drift.points.size() <= 10) return true;
  double end = 0;
  bool is_end = false, near_end = false;
  for (const auto& stay : keeping.storage) {
    end += stay.days;
    is_end = is_end || end == days;
    near_end = near_end || std::abs(end - days) < 0.1 * end;
  }
  return is_end || (!near_end && std::ranges::count(usual, days) > 0);
}

/// Whether a meter would show that it moves.
bool moves(const Drift& drift) {
  const auto& last = drift.points.back();
  const auto seen = [](const DriftCause& cause) { return std::abs(cause.shift_ph) >= seen_ph; };
  return std::ranges::any_of(drift.causes, seen) ||
         last.change_high - last.change_low > 5 * seen_ph;
}

void say_table(Page& page, const Keeping& keeping) {
  page.line(fmt::format("    {:<14}{:>5}   {}", "after", "pH", "nine in ten"));
  for (const auto& point : keeping.drift.points) {
    if (!is_shown(point.days, keeping)) continue;
    auto time = point.days == 0 ? std::string("mixing") : time_text(point.days);
    std::ranges::replace(time, no_break, ' ');
    page.line(fmt::format("    {:<14}{:>5}   {}", time, ph_in(point.ph, point.low, point.high),
                          interval_text(point.low, point.high)));
  }
}

std::string storage_text(const Keeping& keeping) {
  std::vector<std::string> stays;
  for (const auto& stay : keeping.storage)
    stays.push_back(fmt::format("{} at {:g}{}°C", time_text(stay.days), stay.celsius, no_break));
  return fmt::format("{}", fmt::join(stays, ", then "));
}

/// What is left of a share that nears all or nothing, honestly rounded.
std::string done_text(double share) {
  if (share > 0.995) return "all";
  return share_text(share);
}

std::string shift_text(double ph) {
  return fmt::format("by itself {:+.{}f}", ph, std::abs(ph) < 0.1 ? 2 : 1);
}

void say_cause(Page& page, const Keeping& keeping, const DriftCause& cause) {
  std::string text = unbroken(cause.what) + ": ";
  text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  if (std::abs(cause.shift_ph) < seen_ph)
    text += "no change that a meter shows";
  else if (cause.quick)
    text += fmt::format("{}; {} of it reacts, half of that in {}", shift_text(cause.shift_ph),
                        done_text(cause.share_done), time_text(cause.half_life_days));
  else
    text += fmt::format("{} in {} ({} of it has then reacted)", shift_text(cause.shift_ph),
                        time_text(keeping.drift.points.back().days), done_text(cause.share_done));
  page.paragraph(text + page.cite(cause.source, cause.row_id) + ".", 2, 4);
}

void say_causes(Page& page, const Keeping& keeping) {
  for (const auto& cause : keeping.drift.causes)
    if (page.style.all || std::abs(cause.shift_ph) >= seen_ph || keeping.drift.causes.size() == 1)
      say_cause(page, keeping, cause);
}

void say_untimed(Page& page, const Keeping& keeping) {
  if (keeping.drift.untimed.empty()) return;
  std::vector<std::string> words;
  for (const auto& one : keeping.drift.untimed) {
    std::string effect = one.effect;
    std::ranges::replace(effect, '-', no_break);
    words.push_back(fmt::format("{} ({}){}", item_name(page.result, one.item), effect,
                                page.cite(one.source, one.row_id)));
  }
  page.paragraph("Known to happen, at a speed that is in no table: " + joined(words) + ".", 2, 4);
}

void say_watch_for(Page& page, const Keeping& keeping) {
  Sentences sentences;
  for (const auto& cause : keeping.drift.causes)
    if (page.style.all || std::abs(cause.shift_ph) >= seen_ph) sentences.add(cause.watch_for);
  for (const auto& one : keeping.drift.untimed) sentences.add(one.watch_for);
  sentences.say(page);
}

std::string leaving_text(const Keeping& keeping) {
  const auto& leaves = *keeping.leaves;
  const std::string all = time_text(keeping.drift.points.back().days);
  std::string text = leaves.middle_days ? "leaves it after about " + time_text(*leaves.middle_days)
                                        : "stays in it for " + all;
  if (!leaves.earliest_days) return text + ", nine times in ten";
  if (*leaves.earliest_days <= 1) return text + "; its interval reaches beyond from the beginning";
  return text + "; one batch in twenty may be outside after about " +
         time_text(*leaves.earliest_days);
}

void say_leaving(Page& page, const Keeping& keeping) {
  const auto& window = page.result.window;
  if (!window.feasible) return;
  const std::string edges = fmt::format("pH {} to {}", ph_text(window.low), ph_text(window.high));
  if (!keeping.leaves)
    return page.paragraph(
        fmt::format("It stands outside of its window, {}: adjust it first.", edges), 2, 4);
  const std::string text = fmt::format("Its window is {}: it {}.", edges, leaving_text(keeping));
  page.paragraph(keeping.leaves->middle_days ? page.look(Look::warning, text) : text, 2, 4);
}

std::string pair_text(const BufferPair& pair) {
  std::vector<std::string> partners;
  for (const auto* partner : {&pair.acid, &pair.base})
    if (partner->grams > 0)
      partners.push_back(fmt::format("{}{}g of {}", amount_text(partner->grams), no_break,
                                     unbroken(partner->name)));
  return fmt::format("{} ({}{})", joined(partners), pair.system,
                     pair.clashes > 0 ? "; brings cautions or limits" : "");
}

/// "150", "12", "0.32".
std::string two_digits(double amount) {
  const double digit = std::pow(10.0, std::floor(std::log10(amount)) - 1);
  return amount_text(std::round(amount / digit) * digit);
}

void say_holding(Page& page, const Keeping& keeping) {
  if (!keeping.buffers) return;
  const double load = std::abs(keeping.drift.acid_mmol_per_kg);
  const std::string what = fmt::format("About {} mmol of {} appear per kg", two_digits(load),
                                       keeping.drift.acid_mmol_per_kg > 0 ? "acid" : "alkali");
  std::vector<std::string> pairs;
  for (const auto& pair : keeping.buffers->pairs)
    if (pair.possible) pairs.push_back(pair_text(pair));
  std::string text = what + ": ";
  if (keeping.buffers->holds_already || keeping.buffers->holds_once_there)
    text += fmt::format("once at its target it holds its pH within {:g} by itself.", most_drift_ph);
  else if (pairs.empty())
    text += fmt::format(
        "no buffer of the tables holds the pH within {:g}{}.", most_drift_ph,
        keeping.buffers->pairs.empty() ? "" : " (" + keeping.buffers->pairs.front().why_not + ")");
  else
    text +=
        fmt::format("to hold the pH within {:g}, for {}{}g: {}.", most_drift_ph,
                    amount_text(page.result.formula.batch_g), no_break, fmt::join(pairs, "; or "));
  page.paragraph(text, 2, 4);
}

/// Times at which the same is to be expected are said together.
void say_follow_ups(Page& page, const Keeping& keeping) {
  std::vector<std::string> groups, times;
  std::string expected;
  const auto conclude = [&] {
    if (!times.empty()) groups.push_back(fmt::format("{} ({})", joined(times), expected));
    times.clear();
  };
  for (const auto& one : keeping.follow_ups) {
    const auto text = fmt::format("pH {}, {}", ph_in(one.ph, one.low, one.high),
                                  interval_text(one.low, one.high));
    if (text != expected) conclude();
    expected = text;
    times.push_back(time_text(one.days));
  }
  conclude();
  if (!groups.empty())
    page.paragraph(fmt::format("Read it after {}; ask again with what you read.",
                               fmt::join(groups, ", after ")),
                   2, 4);
}

std::string cause_of(const Drift& drift, const ShelfTime& time) {
  const auto cause = std::ranges::find_if(drift.causes, [&](const DriftCause& one) {
    return one.item == time.item && one.row_id == time.row_id;
  });
  return cause == drift.causes.end() ? std::string() : unbroken(cause->what);
}

/// "8", "18 months"; "3 weeks", "2 months".
std::pair<std::string, std::string> span_of_time(double low, double high) {
  std::string from = time_text(low), to = time_text(high);
  const auto unit = [](const std::string& text) { return text.substr(text.find(no_break)); };
  if (unit(from) == unit(to)) from.resize(from.find(no_break));
  return {from, to};
}

void say_warm_stays(Page& page, const Keeping& keeping) {
  for (const auto& warm : keeping.warm_stays)
    for (const auto& time : warm.at_25_celsius)
      page.paragraph(fmt::format("{} at {:g}{}°C do what {} to {} at 25{}°C do ({}).",
                                 time_text(warm.stay.days), warm.stay.celsius, no_break,
                                 span_of_time(time.low, time.high).first,
                                 span_of_time(time.low, time.high).second, no_break,
                                 cause_of(keeping.drift, time)),
                     2, 4);
}

void say_air(Page& page, const Keeping& keeping) {
  if (keeping.air_ph < air_worth_saying_ph) return;
  page.paragraph(
      fmt::format(
          "Air may move it by about {:.1g}: it brings carbon dioxide, and takes ammonia and "
          "other volatile amines away. Keep it closed.",
          keeping.air_ph),
      2, 4);
}

void say_series(Page& page, const BatchAnswer& answer) {
  for (const auto& one : answer.series) {
    const std::string text =
        fmt::format("Read {} after {}, expected {} ({}): ", ph_text(one.ph), time_text(one.days),
                    ph_text(one.expected), interval_text(one.low, one.high));
    page.paragraph(
        text +
            (one.as_expected ? page.look(Look::good, "as expected")
                             : page.look(Look::bad,
                                         "something else is going on (contamination, "
                                         "another reaction, the meter): counterion explain")) +
            ".",
        2, 4);
  }
}

void say_nothing_known(Page& page) {
  page.paragraph("Nothing in it is known to move its pH.", 2, 4);
}

}  // namespace

std::string time_text(double days) {
  if (days < 0.04) return counted(std::max(1.0, std::round(days * 24 * 60)), "minute");
  if (days < 0.96) return counted(std::round(days * 24), "hour");
  if (days >= year_days * 0.97 && (is_whole(days / year_days) || days > 2.5 * year_days))
    return is_whole(days / year_days) || days > 10 * year_days
               ? counted(days / year_days, "year")
               : fmt::format("{:.1f}{}years", days / year_days, no_break);
  const double weeks = days / week_days;
  if (weeks >= 1 && weeks < 27 && std::abs(weeks - std::round(weeks)) < 1e-9)
    return counted(weeks, "week");
  if (days >= 59 || std::abs(days - month_days) < 0.5) return counted(days / month_days, "month");
  if (days >= 11 || is_whole(days / week_days)) return counted(days / week_days, "week");
  return counted(days, "day");
}

void say_keeping(Page& page, const BatchAnswer& answer) {
  if (!answer.keeping) return;
  const Keeping& keeping = *answer.keeping;
  const bool nothing = keeping.drift.causes.empty() && keeping.drift.untimed.empty();
  page.heading("Will it stay");
  say_series(page, answer);
  if (nothing) {
    say_nothing_known(page);
    return say_air(page, keeping);
  }
  if (moves(keeping.drift)) {
    page.paragraph(fmt::format("Kept for {}:", storage_text(keeping)), 2, 4);
    say_table(page, keeping);
  }
  say_causes(page, keeping);
  say_untimed(page, keeping);
  say_watch_for(page, keeping);
  say_leaving(page, keeping);
  say_warm_stays(page, keeping);
  say_holding(page, keeping);
  if (!keeping.drift.causes.empty() || keeping.leaves) say_follow_ups(page, keeping);
  say_air(page, keeping);
}

void say_keeping_shortly(Page& page, const BatchAnswer& answer) {
  if (!answer.keeping || !page.result.options.withheld.empty()) return;
  const Keeping& keeping = *answer.keeping;
  const Drift& drift = keeping.drift;
  const bool it_moves = moves(drift);
  if (!it_moves && answer.series.empty()) return;
  page.heading("Will it stay");
  say_series(page, answer);
  if (!it_moves) return;
  const auto& last = drift.points.back();
  std::string text = answer.chosen
                         ? fmt::format("Once it reads pH {}: ",
                                       ph_text(page.result.adjustments[*answer.chosen].target))
                         : "As it stands: ";
  for (const auto& point : drift.points)
    if (point.days == 1 && has_quick_change(drift))
      text += fmt::format("the next day pH {}, ", ph_in(point.ph, point.low, point.high));
  text += fmt::format("after {} pH {} ({}).", storage_text(keeping),
                      ph_in(last.ph, last.low, last.high), interval_text(last.low, last.high));
  page.paragraph(text, 2, 4);
  say_causes(page, keeping);
  if (keeping.leaves && keeping.leaves->middle_days) say_leaving(page, keeping);
  say_holding(page, keeping);
}

}  // namespace counterion::report
