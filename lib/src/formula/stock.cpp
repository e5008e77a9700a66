// SPDX-License-Identifier: MIT
#include "stock.hpp"

#include <counterion/text/number.hpp>
#include <counterion/text/strength.hpp>
#include <counterion/text/utf8.hpp>

#include <algorithm>
#include <fmt/format.h>

namespace counterion::formula {
namespace {

constexpr std::size_t longest_name = 200;   // bytes
constexpr std::size_t most_suggested = 50;  // names that get suggestions; more is another language

StockReading fault(std::string found, std::string expected,
                   std::vector<std::string> suggestions = {}) {
  return {{}, {{}, std::move(found), std::move(expected), std::move(suggestions)}};
}

/// The number that an id ends in, as grades have it: 80 of lactic-acid-80.
std::optional<double> grade_of(std::string_view id) {
  const auto dash = id.rfind('-');
  return dash == id.npos ? std::nullopt : text::read_plain_number(id.substr(dash + 1));
}

/// An id without that number.
std::string_view material_of(std::string_view id) {
  return grade_of(id) ? id.substr(0, id.rfind('-')) : id;
}

/// Of grades, those of what the bare name means: 20 % of a hydrate is not 20 % without its water.
Meant of_same_material(Meant grades, const Meant& bare) {
  const auto differs = [&](const auto* grade) {
    return std::ranges::none_of(bare, [&](const auto* one) {
      return material_of(one->id) == material_of(grade->id);
    });
  };
  if (!bare.empty()) std::erase_if(grades, differs);
  return grades;
}

/// The names of what was meant, each with the strength behind it where it has none of its own.
std::vector<std::string> names_to_choose(const Meant& meant, std::optional<double> percent,
                                         const Tables& tables) {
  std::vector<std::string> names;
  for (const auto* one : meant) {
    auto& name = names.emplace_back(tables.display_name(one->id));
    if (percent && *percent != 100 && name.find('%') == name.npos)
      name += fmt::format(" {} %", text::format_number(*percent));
  }
  return names;
}

}  // namespace

const StockReading& StockReader::read(const std::string& name, std::optional<double> strength) {
  const auto [entry, is_new] = read_.try_emplace({name, strength});
  if (is_new) entry->second = find(name, strength);
  return entry->second;
}

StockReading StockReader::find(const std::string& name, std::optional<double> strength) {
  if (name.size() > longest_name) {
    return fault(fmt::format("a name of {} bytes", name.size()),
                 fmt::format("at most {}", longest_name));
  }
  const auto split = text::split_strength(name);
  if (!split && !strength) return one_of(name, tables_.meanings(name), {});
  if (!split) return find_strong(name, name, *strength);
  if (!(split->percent > 0 && split->percent <= 100)) {
    return fault(fmt::format("'{}' has a strength of {} %", name, text::format_number(split->percent)),
                 "a strength above 0 and at most 100 %");
  }
  const std::string base(text::trim(split->base));
  if (!strength || *strength == split->percent) return find_strong(name, base, split->percent);
  const auto supplied = find_strong(name, base, split->percent);
  if (supplied.stock && supplied.stock->percent == 100)
    return {Stock{supplied.stock->ingredient, strength}, {}};
  if (!supplied.stock) return supplied;
  return fault(fmt::format("'{}' beside a strength of {} %", name, text::format_number(*strength)),
               "one strength");
}

StockReading StockReader::find_strong(const std::string& name, const std::string& base,
                                      double strength) {
  const auto meant = tables_.meanings(base);
  const auto grade = meant.size() == 1 ? grade_of(meant.front()->id) : std::nullopt;
  if (grade) return one_of(name, meant, *grade == strength ? 100 : strength);
  auto grades = name == base ? Meant() : tables_.meanings(name);
  if (grades.empty()) grades = grades_of(tables_, base, strength);
  grades = of_same_material(std::move(grades), meant);
  if (!grades.empty()) return one_of(name, grades, 100);
  return one_of(name, meant, strength);
}

StockReading StockReader::one_of(const std::string& name, const Meant& meant,
                                 std::optional<double> percent) {
  if (meant.size() == 1) return {Stock{std::string(meant.front()->id), percent}, {}};
  if (!meant.empty()) {
    return fault(fmt::format("'{}' may be several materials", name), "one of them",
                 names_to_choose(meant, percent, tables_));
  }
  const bool suggests = ++suggested_ <= most_suggested;
  return fault(fmt::format("no ingredient is called '{}'", name), "a name from the tables; strengths in percent by weight",
               suggests ? tables_.nearest_names(name) : std::vector<std::string>());
}

}  // namespace counterion::formula
