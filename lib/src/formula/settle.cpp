// SPDX-License-Identifier: MIT
#include "draft.hpp"
#include "naming.hpp"

#include <counterion/text/names.hpp>
#include <counterion/text/number.hpp>

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <map>

namespace counterion::formula {
namespace {

using text::format_number;

constexpr std::size_t most_lines = 1000;
constexpr std::size_t longest_name = 200;  // bytes
constexpr std::size_t most_suggested = 50;  // lines that get suggestions; more is another language
constexpr double total_tolerance_percent = 0.05;

// ---- names ----

/// The ingredients that a line may mean and which of its names told.
struct Resolved {
  Meant meant;
  std::string written;
};

Meant common_to(Meant first, const Meant& second) {
  std::erase_if(first, [&](const auto* one) { return std::ranges::find(second, one) == second.end(); });
  return first;
}

/// The first name that is known; a later one narrows it down where it says the grade that an INCI
/// name cannot.
Resolved resolve(const DraftLine& line, const Tables& tables, Draft& draft) {
  Resolved resolved{{}, line.names.front()};
  for (const auto& name : line.names) {
    const auto found = meanings_of(tables, name, line.strength_percent);
    if (found.empty()) continue;
    const auto both = resolved.meant.empty() ? found : common_to(resolved.meant, found);
    if (both.empty()) {
      draft.say(line.place, fmt::format("'{}' and '{}' are two materials; the first is taken",
                                        resolved.written, name));
    } else if (resolved.meant.empty() || both.size() < resolved.meant.size()) {
      resolved = {both, name};
    }
  }
  return resolved;
}

void accept_unlisted(const DraftLine& line, const Tables& tables, bool allowed, Draft& draft,
                     std::size_t& suggested) {
  const auto& name = line.names.front();
  if (line.ph_low || line.strength_percent) {
    draft.say(line.place,
              fmt::format("'{}' is in no table; only what its line declares is known of it", name));
    return;
  }
  const auto near =
      ++suggested <= most_suggested ? tables.nearest_names(name) : std::vector<std::string>();
  if (!allowed) {
    draft.problem(line.place, fmt::format("no ingredient is called '{}'", name),
                  "a name from the tables, --allow-unlisted, or a declared pH on the line", near);
    return;
  }
  auto message = fmt::format("'{}' is in no table and is not judged", name);
  if (!near.empty()) {
    message += fmt::format("; the nearest known names are '{}'", fmt::join(near, "', '"));
  }
  draft.say(line.place, message);
}

FormulaItem item_of(const DraftLine& line, const Resolved& resolved) {
  FormulaItem item;
  item.written = resolved.written;
  item.fills_to_100 = line.fills;
  item.phase = line.phase;
  item.note = line.note;
  item.strength_percent = line.strength_percent;
  item.declared_ph_low = line.ph_low;
  item.declared_ph_high = line.ph_high;
  item.declared_at_percent = line.ph_at_percent;
  item.place = line.place;
  for (const auto* meant : resolved.meant) item.alternatives.emplace_back(meant->id);
  if (item.alternatives.empty()) return item;
  item.ingredient = item.alternatives.front();
  item.alternatives.erase(item.alternatives.begin());
  return item;
}

void resolve_names(Draft& draft, Formula& formula, const Tables& tables, bool allow_unlisted) {
  std::size_t suggested = 0;
  for (const auto& line : draft.lines) {
    const auto resolved = resolve(line, tables, draft);
    if (resolved.meant.empty()) {
      accept_unlisted(line, tables, allow_unlisted, draft, suggested);
    }
    formula.items.push_back(item_of(line, resolved));
  }
}

void say_repeated(Draft& draft, const Formula& formula) {
  std::map<std::string, const FormulaItem*> seen;
  for (const auto& item : formula.items) {
    const auto key =
        item.listed() ? item.ingredient : fmt::format(" {}", text::normalise(item.written));
    const auto [first, is_new] = seen.emplace(key, &item);
    if (is_new) continue;
    const auto line = first->second->place.line;
    auto message = fmt::format("'{}' stands in the formula again", item.written);
    if (line != 0) message += fmt::format(", first in line {}", line);
    draft.say(item.place, message);
  }
}

// ---- amounts ----

void check_one_fill(Draft& draft) {
  const DraftLine* first = nullptr;
  for (const auto& line : draft.lines) {
    if (!line.fills) continue;
    if (first == nullptr) {
      first = &line;
      continue;
    }
    const auto where = describe(Place{{}, first->amount_place.line, 0});
    draft.problem(line.amount_place,
                  "a second q.s." + (where.empty() ? "" : ", after the one in " + where),
                  "one line that fills up to 100; leave an adjuster out, its amount is the answer");
  }
}

void check_amount(Draft& draft, const DraftLine& line) {
  const auto amount = line.percent ? line.percent : line.grams;
  if (!amount) return;
  if (*amount < 0)
    draft.problem(line.amount_place, format_number(*amount) + " is negative", "0 or more");
  if (line.percent && *line.percent > 100) {
    draft.problem(line.amount_place, format_number(*line.percent) + " % is more than the whole",
                  "at most 100 %");
  }
  if (*amount == 0) {
    draft.say(line.amount_place, fmt::format("'{}' with an amount of 0", line.names.front()));
  }
}

double sum_of(const std::vector<DraftLine>& lines, std::optional<double> DraftLine::*member) {
  double sum = 0;
  for (const auto& line : lines) sum += (line.*member).value_or(0);
  return sum;
}

bool weighs_in_grams(const Draft& draft) {
  return std::ranges::any_of(draft.lines, [](const auto& line) { return line.grams.has_value(); });
}

bool weighs_in_percent(const Draft& draft) {
  return std::ranges::any_of(draft.lines,
                             [](const auto& line) { return line.percent.has_value(); });
}

const DraftLine* fill_line(const Draft& draft) {
  const auto found = std::ranges::find_if(draft.lines, [](const auto& line) { return line.fills; });
  return found == draft.lines.end() ? nullptr : &*found;
}

/// The whole that grams are shares of: their sum, or what q.s. fills up to.
std::optional<double> whole_in_grams(Draft& draft) {
  const auto sum = sum_of(draft.lines, &DraftLine::grams);
  const auto* fill = fill_line(draft);
  if (fill == nullptr) return sum;
  const auto target = fill->fill_to_grams;
  if (target && draft.batch_g && std::abs(*target - *draft.batch_g) > 1e-9) {
    draft.problem(fill->amount_place, "a fill up to " + format_number(*target) + " g",
                  "the batch as stated, " + format_number(*draft.batch_g) + " g");
  }
  if (!target && !draft.batch_g) {
    draft.problem(fill->amount_place, "q.s. among grams without a batch size",
                  "a line such as '# batch: 500 g', or 'to 500 g'");
    return {};
  }
  return draft.batch_g ? draft.batch_g : target;
}

void say_batch_differs(Draft& draft, double whole) {
  if (!draft.batch_g || std::abs(whole - *draft.batch_g) <= 0.0005 * whole) return;
  draft.say({draft.file, 0, 0}, fmt::format("the grams add up to {} g, the stated batch is {} g",
                                            format_number(whole), format_number(*draft.batch_g)));
}

void turn_grams_into_percent(Draft& draft) {
  const auto whole = whole_in_grams(draft);
  if (!whole) return;
  if (*whole <= 0) {
    draft.problem({draft.file, 0, 0}, "grams that add up to 0", "amounts");
    return;
  }
  for (auto& line : draft.lines) {
    if (line.grams) line.percent = 100 * *line.grams / *whole;
  }
  say_batch_differs(draft, *whole);
  if (!draft.batch_g) draft.batch_g = whole;
}

void unite_units(Draft& draft) {
  if (!weighs_in_grams(draft)) return;
  if (!weighs_in_percent(draft)) return turn_grams_into_percent(draft);
  for (const auto& line : draft.lines) {
    if (line.grams && !line.percent) {
      draft.problem(line.amount_place, "grams among percents", "the same unit in all lines");
    }
  }
}

void fill_up(Draft& draft, Formula& formula) {
  for (std::size_t i = 0; i < draft.lines.size(); ++i) {
    formula.items[i].percent = draft.lines[i].percent.value_or(0);
  }
  const auto sum = sum_of(draft.lines, &DraftLine::percent);
  formula.total_percent = sum;
  const auto* fill = fill_line(draft);
  if (fill == nullptr) return;
  if (sum > 100 + 1e-9) {
    draft.problem(
        fill->amount_place,
        "nothing left to fill up: the other lines add up to " + format_number(sum, 2) + " %",
        "other lines of at most 100 %");
    return;
  }
  const auto position = static_cast<std::size_t>(fill - draft.lines.data());
  formula.items[position].percent = std::max(0.0, 100 - sum);
  formula.total_percent = 100;
  if (100 - sum <= 1e-9) draft.say(fill->amount_place, "the q.s. line has nothing left to fill up");
}

void say_total(Draft& draft, const Formula& formula) {
  const auto off = formula.total_percent - 100;
  if (std::abs(off) <= total_tolerance_percent + 1e-9) return;
  auto message = fmt::format("the lines add up to {} %, {} % {} than 100 %; nothing was rescaled",
                             format_number(formula.total_percent, 2),
                             format_number(std::abs(off), 2), off > 0 ? "more" : "less");
  if (std::abs(formula.total_percent - 1) < 0.02) {
    message += "; if these are fractions of one, write them as percent";
  }
  draft.say({draft.file, 0, 0}, message);
}

void check_name_lengths(Draft& draft) {
  for (auto& line : draft.lines) {
    for (auto& name : line.names) {
      if (name.size() <= longest_name) continue;
      draft.problem(line.place, fmt::format("a name of {} bytes", name.size()),
                    fmt::format("at most {}", longest_name));
      name = "a long text";
    }
  }
}

void check_size(Draft& draft) {
  if (draft.lines.empty() && draft.problems.empty()) {
    draft.problem({draft.file, 0, 0}, "no ingredient lines", "at least one line with an amount");
  }
  if (draft.lines.size() > most_lines) {
    draft.problem({draft.file, 0, 0}, std::to_string(draft.lines.size()) + " lines",
                  "at most " + std::to_string(most_lines));
    draft.lines.resize(most_lines);
  }
}

}  // namespace

Formula settle(Draft draft, const Tables& tables, const ReadOptions& options) {
  Formula formula;
  check_size(draft);
  check_name_lengths(draft);
  check_one_fill(draft);
  for (const auto& line : draft.lines) check_amount(draft, line);
  resolve_names(draft, formula, tables, options.allow_unlisted);
  unite_units(draft);
  if (draft.problems.empty()) {
    fill_up(draft, formula);
    say_total(draft, formula);
    say_repeated(draft, formula);
  }
  conclude(draft);
  formula.name = draft.name;
  formula.product_type = draft.product_type;
  formula.use = draft.use;
  formula.batch_stated = draft.batch_g.has_value();
  formula.batch_g = draft.batch_g.value_or(100);
  formula.diagnostics = std::move(draft.diagnostics);
  return formula;
}

}  // namespace counterion::formula
