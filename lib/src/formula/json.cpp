// SPDX-License-Identifier: MIT
#include "draft.hpp"
#include "words.hpp"

#include <counterion/text/number.hpp>

#include <algorithm>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace counterion::formula {
namespace {

using Json = nlohmann::json;

std::string shortened(const Json& value) {
  constexpr std::size_t most = 40;
  const auto text = value.dump(-1, ' ', true, Json::error_handler_t::replace);
  return text.size() <= most ? text : text.substr(0, most) + " …";
}

/// Reads members of one object and says what is wrong with them, under the object's path.
class JsonReader {
 public:
  JsonReader(const Json& object, std::string path, Draft& draft)
      : object_(object), path_(std::move(path)), draft_(draft) {}

  Place place(const std::string& key) const {
    const auto dot = path_.empty() || key.empty() ? "" : ".";
    return {draft_.file + " at " + path_ + dot + key, 0, 0};
  }

  std::string text(const std::string& key) {
    const auto* value = member(key);
    if (value == nullptr) return {};
    if (value->is_string()) return value->get<std::string>();
    wrong(key, *value, "a text");
    return {};
  }

  std::optional<double> number(const std::string& key) {
    const auto* value = member(key);
    if (value == nullptr) return {};
    if (value->is_number()) return value->get<double>();
    wrong(key, *value, "a number");
    return {};
  }

  bool flag(const std::string& key) {
    const auto* value = member(key);
    if (value == nullptr) return false;
    if (value->is_boolean()) return value->get<bool>();
    wrong(key, *value, "true or false");
    return false;
  }

  const Json* member(const std::string& key) {
    known_.push_back(key);
    const auto found = object_.find(key);
    return found == object_.end() || found->is_null() ? nullptr : &*found;
  }

  void wrong(const std::string& key, const Json& value, std::string expected) {
    draft_.problem(place(key), shortened(value), std::move(expected));
  }

  void say_unknown() {
    for (const auto& [key, value] : object_.items()) {
      if (std::ranges::find(known_, key) != known_.end()) continue;
      draft_.say(place(key),
                 fmt::format("'{}' says nothing here; known are {}", key, list_words(known_)));
    }
  }

 private:
  const Json& object_;
  std::string path_;
  Draft& draft_;
  std::vector<std::string> known_;
};

bool is_ph(const Json& value) {
  return value.is_number() && value.get<double>() >= 0 && value.get<double>() <= 14;
}

void read_declared_ph(JsonReader& reader, DraftLine& line) {
  line.ph_at_percent = reader.number("declared_at_percent");
  if (line.ph_at_percent && !(*line.ph_at_percent > 0 && *line.ph_at_percent <= 100)) {
    reader.wrong("declared_at_percent", *line.ph_at_percent, "a number above 0 and at most 100");
  }
  const auto* span = reader.member("declared_pH");
  if (span == nullptr) return;
  line.ph_place = reader.place("declared_pH");
  const bool fine = span->is_array() && span->size() == 2 && is_ph((*span)[0]) &&
                    is_ph((*span)[1]) && (*span)[0].get<double>() <= (*span)[1].get<double>();
  if (!fine) return reader.wrong("declared_pH", *span, "two pH from 0 to 14, the lower first");
  line.ph_low = (*span)[0].get<double>();
  line.ph_high = (*span)[1].get<double>();
}

void read_amounts(JsonReader& reader, DraftLine& line, Draft& draft) {
  const auto faults = draft.problems.size();
  line.percent = reader.number("percent");
  line.grams = reader.number("grams");
  line.fills = reader.flag("to_100");
  const int amounts = (line.percent ? 1 : 0) + (line.grams ? 1 : 0) + (line.fills ? 1 : 0);
  line.amount_place = reader.place(line.percent ? "percent"
                                   : line.grams ? "grams"
                                   : line.fills ? "to_100"
                                                : "");
  if (amounts == 1 || draft.problems.size() > faults) return;
  draft.problem(line.amount_place, amounts == 0 ? "no amount" : "more than one amount",
                "one of percent, grams, to_100");
}

void read_line(const Json& object, const std::string& path, Draft& draft) {
  if (!object.is_object()) {
    draft.problem({draft.file + " at " + path, 0, 0}, shortened(object), "an object");
    return;
  }
  JsonReader reader(object, path, draft);
  DraftLine line;
  line.names = {reader.text("ingredient")};
  line.place = reader.place("ingredient");
  if (line.names.front().empty()) {
    draft.problem(line.place, "no name", "an ingredient's name");
  }
  read_amounts(reader, line, draft);
  line.phase = reader.text("phase");
  line.note = reader.text("note");
  line.strength_percent = reader.number("strength_percent");
  if (line.strength_percent && !(*line.strength_percent > 0 && *line.strength_percent <= 100)) {
    reader.wrong("strength_percent", *line.strength_percent, "a number above 0 and at most 100");
  }
  read_declared_ph(reader, line);
  reader.say_unknown();
  if (!line.names.front().empty()) draft.lines.push_back(std::move(line));
}

void read_properties(JsonReader& reader, Draft& draft) {
  draft.name = reader.text("name");
  for (const auto* key : {"type", "use"}) {
    const auto value = reader.text(key);
    if (!value.empty()) set_property(draft, key, value, reader.place(key));
  }
  draft.batch_g = reader.number("batch_g");
  if (draft.batch_g && !(*draft.batch_g > 0)) {
    reader.wrong("batch_g", *draft.batch_g, "a number above 0");
  }
}

void read_object(const Json& object, Draft& draft) {
  JsonReader reader(object, "", draft);
  read_properties(reader, draft);
  const auto* items = reader.member("items");
  reader.say_unknown();
  if (items == nullptr || !items->is_array()) {
    draft.problem(reader.place("items"), items == nullptr ? "no items" : shortened(*items),
                  "a list of items");
    return;
  }
  for (std::size_t i = 0; i < items->size(); ++i) {
    read_line((*items)[i], "items[" + std::to_string(i) + "]", draft);
  }
}

Place place_of_byte(std::string_view text, std::size_t byte, const std::string& file) {
  const auto before = text.substr(0, std::min(byte == 0 ? 0 : byte - 1, text.size()));
  const auto line_start = before.rfind('\n');
  const auto column =
      line_start == std::string_view::npos ? before.size() : before.size() - line_start - 1;
  return {file, static_cast<std::size_t>(std::ranges::count(before, '\n')) + 1, column + 1};
}

}  // namespace

void read_json(std::string_view text, Draft& draft) {
  try {
    read_object(Json::parse(text), draft);
  } catch (const Json::parse_error& error) {
    draft.problem(place_of_byte(text, error.byte, draft.file), "text that is no valid JSON",
                  "an object with name, batch_g and items");
  } catch (const Json::out_of_range&) {
    draft.problem({draft.file, 0, 0}, "a number out of reach", "numbers of usual size");
  }
}

}  // namespace counterion::formula
