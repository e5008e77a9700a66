// SPDX-License-Identifier: MIT
// A page of text: wraps, colours, falls back to ASCII, and numbers the sources it cites.
#pragma once

#include <counterion/report/text.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace counterion::report {

/// Looks that a piece of text can have; each also reads right without colour.
enum class Look { strong, good, warning, bad, faint };

/// Columns that text takes on a terminal, colour codes left out.
std::size_t columns_of(std::string_view text);
/// Text in plain ASCII; letters lose their accents, what has no likeness becomes '?'.
std::string to_ascii(std::string_view text);

/// One row that was cited; its number is its place in the list, from 1.
struct Citation {
  std::string source;
  std::string row_id;
};

class Sheet {
 public:
  explicit Sheet(const TextStyle& how);

  const TextStyle style;

  /// Columns that a line may have.
  std::size_t width() const { return width_; }
  /// The better of two spellings that this page can show.
  std::string_view glyph(std::string_view utf8, std::string_view ascii) const {
    return style.utf8 ? utf8 : ascii;
  }
  std::string look(Look look, std::string_view text) const;
  /// " [3]": the number under which a row stands in the list of sources; empty for no source.
  std::string cite(const std::string& source, const std::string& row_id);

  void heading(std::string_view title);
  /// Wraps text; the first line is indented by `indent`, the others by `hang`.
  void paragraph(std::string_view text, std::size_t indent = 2, std::size_t hang = 2);
  /// A short label in a column of its own, the text beside it.
  void labelled(std::string_view label, std::string_view text, Look label_look = Look::strong);
  void line(std::string_view text);

  const std::vector<Citation>& citations() const { return citations_; }
  std::string finish() &&;

 private:
  std::string text_;
  std::size_t width_;
  std::vector<Citation> citations_;
};

/// The sheet on which an answer is shown.
class Page : public Sheet {
 public:
  Page(const CheckResult& checked, const TextStyle& how) : Sheet(how), result(checked) {}

  const CheckResult& result;
};

}  // namespace counterion::report
