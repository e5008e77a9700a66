// SPDX-License-Identifier: MIT
#include "words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace counterion::report {

std::string ph_text(double ph) {
  const double tenths = std::round(ph * 10) / 10;
  return std::abs(ph - tenths) < 0.005 ? fmt::format("{:.1f}", ph) : fmt::format("{:.2f}", ph);
}

std::string ph_text(double ph, const Prediction& prediction) {
  return prediction.p95 - prediction.p05 > 0.3 ? fmt::format("{:.1f}", ph)
                                               : fmt::format("{:.2f}", ph);
}

std::string amount_text(double amount) {
  if (!(amount > 0)) return "0";
  const double places = 2 - std::floor(std::log10(amount * (1 + 1e-12)));
  const double scale = std::pow(10.0, places);
  const double rounded = std::round(amount * scale) / scale;
  const double left = 2 - std::floor(std::log10(rounded * (1 + 1e-12)));
  return fmt::format("{:.{}f}", rounded, static_cast<int>(std::clamp(left, 0.0, 6.0)));
}

std::string span_text(const std::optional<double>& low, const std::optional<double>& high) {
  if (low && high && *low == *high) return ph_text(*low);
  if (low && high) return ph_text(*low) + " to " + ph_text(*high);
  if (low) return "from " + ph_text(*low);
  return high ? "up to " + ph_text(*high) : "any pH";
}

std::string share_text(double share) {
  const double percent = share * 100;
  if (percent < 0.01) return "under 0.01 %";
  return percent >= 10 ? fmt::format("{:.0f} %", percent) : fmt::format("{:.2g} %", percent);
}

std::string printable(std::string_view text) {
  std::string shown(text);
  std::replace_if(shown.begin(), shown.end(),
                  [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7F; }, '?');
  return shown;
}

std::string unbroken(std::string_view name) {
  std::string shown = printable(name);
  for (auto at = shown.find(" %"); at != std::string::npos; at = shown.find(" %", at)) {
    shown[at] = no_break;
    const auto before = shown.find_last_not_of("0123456789", at - 1);
    if (before != std::string::npos && shown[before] == ' ') shown[before] = no_break;
  }
  return shown;
}

std::string item_name(const CheckResult& result, std::size_t item) {
  return unbroken(result.name_of(item));
}

std::string range_name(const CheckResult& result, const WorkingRange& range) {
  std::vector<std::string> names;
  for (const std::size_t i : range.items) names.push_back(item_name(result, i));
  return names.empty() ? range.name : fmt::format("{}", fmt::join(names, " with "));
}

std::string adjuster_name(const Adjustment& adjustment) { return unbroken(adjustment.name); }

std::string stock_name(const Adjustment& adjustment) {
  const double percent = adjustment.adjuster.stock_percent;
  return adjuster_name(adjustment) + (percent < 100 ? fmt::format(", {:g}{}% in water", percent, no_break)
                                                    : ", as supplied");
}

std::string driver_text(const CheckResult& result, const DriverEffect& driver) {
  std::string what = printable(driver.what);
  if (driver.item) {
    const std::string shown = result.name_of(*driver.item);
    if (what.starts_with(shown)) what.replace(0, shown.size(), item_name(result, *driver.item));
  }
  const auto of = what.find(" of ");
  if (!driver.item && what.starts_with("pK ") && of != std::string::npos) {
    std::string pK = what.substr(0, of);
    if (pK.ends_with(',')) pK.pop_back();
    return "the acid strength of " + what.substr(of + 4) + " (" + pK + ")";
  }
  if (what.ends_with(": its content")) return "how much is really in " + what.substr(0, what.size() - 13);
  return what;
}

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i)
    text += (i == 0 ? "" : i + 1 == words.size() ? " and " : ", ") + words[i];
  return text;
}

}  // namespace counterion::report
