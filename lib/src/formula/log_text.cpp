// SPDX-License-Identifier: MIT
#include "log_text.hpp"

#include "log_columns.hpp"

#include <counterion/text/csv.hpp>
#include <counterion/text/utf8.hpp>

#include <algorithm>
#include <array>
#include <optional>

namespace counterion::formula {
namespace {

using namespace std::string_view_literals;

// ---- bytes ----

bool is_wide(std::string_view bytes) noexcept {
  return bytes.starts_with("\xFF\xFE"sv) || bytes.starts_with("\xFE\xFF"sv);
}

/// Whether a file says at its beginning that it is none of text.
bool is_another_format(std::string_view bytes) noexcept {
  return bytes.starts_with("PK\x03\x04"sv) || bytes.starts_with("\xD0\xCF\x11\xE0"sv) ||
         bytes.starts_with("%PDF"sv);
}

/// Bytes that are no text, as far as they can be shown.
std::string as_far_as_shown(std::string_view bytes) {
  std::string text;
  for (const char c : bytes) {
    const auto byte = static_cast<unsigned char>(c);
    const bool plain = (byte >= 0x20 && byte < 0x7F) || c == '\t';
    text += plain ? std::string(1, c) : "\uFFFD";
  }
  return text;
}

std::optional<std::string> decoded_line(std::string_view line) {
  try {
    if (is_wide(line)) return std::nullopt;
    return text::decode(line, {}).text;
  } catch (const BadInput&) {
    return std::nullopt;
  }
}

/// Each line in its own encoding; throws what the whole would where half of them are no text.
std::string decoded_lines(std::string_view bytes, LogText& log, Findings& findings) {
  if (bytes.starts_with("\xEF\xBB\xBF"sv)) bytes.remove_prefix(3);
  const auto lines = lines_of(bytes);
  std::string text;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const auto line = decoded_line(lines[i]);
    if (!line) {
      log.unreadable.insert(i + 1);
      findings.problem({findings.file, i + 1, 0}, "bytes that are no text", "plain text");
    }
    log.lines.push_back(line ? *line : as_far_as_shown(lines[i]));
    text += line.value_or("") + "\n";
  }
  return text;
}

bool has_utf8_line(std::string_view bytes) {
  return std::ranges::any_of(lines_of(bytes), [](std::string_view line) {
    const bool high =
        std::ranges::any_of(line, [](char c) { return static_cast<unsigned char>(c) >= 0x80; });
    return high && text::is_utf8(line);
  });
}

/// A text that is UTF-8 but for some lines is not wholly Windows-1252.
bool goes_line_by_line(std::string_view bytes) {
  return !is_wide(bytes) && !text::is_utf8(bytes) && has_utf8_line(bytes);
}

std::string decoded(std::string_view bytes, const FileKind& kind, LogText& log,
                    Findings& findings) {
  if (goes_line_by_line(bytes)) {
    auto text = decoded_lines(bytes, log, findings);
    if (2 * log.unreadable.size() < log.lines.size()) return text;
  }
  try {
    log = {};
    return text_of(bytes, kind, findings);
  } catch (const BadInput&) {
    if (is_wide(bytes) || is_another_format(bytes) || bytes.find_first_of("\r\n") == bytes.npos)
      throw;
    auto text = decoded_lines(bytes, log, findings);
    if (2 * log.unreadable.size() >= log.lines.size()) throw;
    return text;
  }
}

// ---- quotes ----

constexpr std::size_t most_lines_of_a_cell = 20;

/// What rows of the table look like.
struct Shape {
  char delimiter = ',';
  std::size_t width = 0;
};

std::optional<Shape> shape_of_header(std::string_view line) {
  std::optional<Shape> best;
  std::size_t most = 0;
  for (const char delimiter : {',', ';', '\t'}) {
    const auto csv = text::read_csv(line, delimiter, {});
    if (csv.rows.empty() || csv.rows.front().front().text.starts_with('#')) continue;
    Columns columns;
    for (const auto& cell : csv.rows.front())
      columns.cells.push_back(read_log_header_cell(cell.text));
    if (!columns.has(Role::ph) || columns.known() <= most) continue;
    most = columns.known();
    best = Shape{delimiter, columns.cells.size()};
  }
  return best;
}

std::optional<Shape> shape_of(const std::vector<std::string>& lines) {
  for (const auto& line : lines)
    if (const auto shape = shape_of_header(line)) return shape;
  return {};
}

/// Finds the cells of several lines, and the lines whose quotes are at fault.
class QuoteMender {
 public:
  QuoteMender(LogText& log, Shape shape, Findings& findings)
      : log_(log), shape_(shape), findings_(findings), lines_(log.lines) {}

  std::string mended() {
    for (const auto line : log_.unreadable) lines_[line - 1].clear();
    for (std::size_t i = 0; i < lines_.size(); ++i) i = mend(i);
    std::string text;
    for (const auto& line : lines_) text += line + "\n";
    return text;
  }

 private:
  /// The last line of what begins at this one.
  std::size_t mend(std::size_t i) {
    if (lines_[i].find('"') == std::string::npos) return i;
    auto problems = text::read_csv(lines_[i], shape_.delimiter, findings_.file).problems;
    if (problems.empty()) return i;
    if (const auto end = end_of_cell(i)) return *end;
    auto& problem = problems.front();
    problem.place.line = i + 1;
    findings_.problems.push_back(std::move(problem));
    log_.unreadable.insert(i + 1);
    lines_[i].clear();
    return i;
  }
  /// Where a cell that goes on in the next lines ends; none where that would swallow rows.
  std::optional<std::size_t> end_of_cell(std::size_t begin) const {
    std::string text = lines_[begin];
    const auto last = std::min(lines_.size(), begin + most_lines_of_a_cell);
    for (auto i = begin + 1; i < last; ++i) {
      if (is_row(lines_[i]) || log_.unreadable.contains(i + 1)) return {};
      text += "\n" + lines_[i];
      const auto csv = text::read_csv(text, shape_.delimiter, {});
      if (csv.problems.empty()) return csv.rows.size() == 1 ? std::optional(i) : std::nullopt;
    }
    return {};
  }
  /// Whether a line is a row of the table by itself.
  bool is_row(const std::string& line) const {
    const auto csv = text::read_csv(line, shape_.delimiter, {});
    const bool whole =
        csv.problems.empty() && csv.rows.size() == 1 && csv.rows[0].size() == shape_.width;
    return whole && std::ranges::none_of(csv.rows[0], [](const auto& cell) {
             return cell.text.find('"') != std::string::npos;
           });
  }

  LogText& log_;
  Shape shape_;
  Findings& findings_;
  std::vector<std::string> lines_;
};

}  // namespace

std::vector<std::string_view> lines_of(std::string_view text) {
  std::vector<std::string_view> lines;
  while (!text.empty()) {
    const auto end = std::min(text.find_first_of("\r\n"), text.size());
    lines.push_back(text.substr(0, end));
    text.remove_prefix(end);
    text.remove_prefix(text.starts_with("\r\n") ? 2 : text.empty() ? 0 : 1);
  }
  return lines;
}

LogText log_text_of(std::string_view bytes, const FileKind& kind, Findings& findings) {
  LogText log;
  log.text = decoded(bytes, kind, log, findings);
  if (log.lines.empty())
    for (const auto line : lines_of(log.text)) log.lines.emplace_back(line);
  if (const auto shape = shape_of(log.lines))
    log.text = QuoteMender(log, *shape, findings).mended();
  return log;
}

}  // namespace counterion::formula
