// SPDX-License-Identifier: MIT
#include <counterion/text/csv.hpp>

#include <boost/spirit/home/x3.hpp>

#include <algorithm>
#include <array>
#include <iterator>

namespace counterion::text {
namespace {

namespace x3 = boost::spirit::x3;

/// Puts cells into rows and counts lines as the parser moves on.
class Assembler {
 public:
  explicit Assembler(const char* begin) : counted_(begin) {}

  void start_row() { rows.emplace_back(); }
  void start_cell(const char* where) {
    cell_ = where;
    for (; counted_ != where; ++counted_) line_ += ends_line(where) ? 1 : 0;
  }
  void add_cell(std::string text) {
    auto& row = rows.back();
    row.push_back({std::move(text), line_, row.size() + 1});
  }
  const char* cell() const noexcept { return cell_; }
  Place next_cell(const std::string& file) const { return {file, line_, rows.back().size() + 1}; }

  std::vector<CsvRow> rows;

 private:
  bool ends_line(const char* where) const {
    if (*counted_ == '\n') return true;
    return *counted_ == '\r' && (counted_ + 1 == where || counted_[1] != '\n');
  }

  const char* counted_;
  const char* cell_ = counted_;
  std::size_t line_ = 1;
};

const auto line_end = x3::lit("\r\n") | '\n' | '\r';
const auto closed_quote = x3::rule<struct closed_quote_tag, std::string>{} =
    '"' >> *(("\"\"" >> x3::attr('"')) | ~x3::char_('"')) >> '"';

/// Whether all of the text could be read; if not, the assembler stands at the cell at fault.
bool parse(std::string_view text, char delimiter, Assembler& assembler) {
  const auto start_row = [&](auto&) { assembler.start_row(); };
  const auto start_cell = [&](auto& context) { assembler.start_cell(x3::_where(context).begin()); };
  const auto add_cell = [&](auto& context) { assembler.add_cell(std::move(x3::_attr(context))); };

  const auto cell_end = line_end | x3::lit(delimiter);
  const auto plain = !x3::lit('"') >> *(x3::char_ - cell_end);
  const auto cell = x3::rule<struct cell_tag, std::string>{} =
      (closed_quote >> &(cell_end | x3::eoi)) | plain;
  const auto row = x3::eps[start_row] >> (x3::eps[start_cell] >> cell[add_cell]) % delimiter >>
                   (line_end | x3::eoi);
  const char* position = text.data();
  x3::parse(position, text.data() + text.size(), *(!x3::eoi >> row));
  return position == text.data() + text.size();
}

Problem quote_problem(const char* cell, const char* end, Place place) {
  if (x3::parse(cell, end, x3::omit[closed_quote])) {
    return {std::move(place),
            "text after a closing quote",
            "the end of the cell, or quotes inside it written twice",
            {}};
  }
  return {std::move(place), "a quote that is never closed", "a closing quote", {}};
}

}  // namespace

Csv read_csv(std::string_view text, char delimiter, const std::string& file) {
  Assembler assembler(text.data());
  Csv csv;
  if (!parse(text, delimiter, assembler)) {
    csv.problems.push_back(
        quote_problem(assembler.cell(), text.data() + text.size(), assembler.next_cell(file)));
    assembler.rows.pop_back();
  }
  csv.rows = std::move(assembler.rows);
  return csv;
}

char guess_delimiter(std::string_view line) noexcept {
  constexpr std::array<char, 3> delimiters{',', ';', '\t'};
  std::array<std::size_t, 3> counts{};
  bool quoted = false;
  for (const char c : line) {
    if (c == '"') quoted = !quoted;
    for (std::size_t i = 0; i < delimiters.size(); ++i) counts[i] += !quoted && c == delimiters[i];
  }
  return delimiters[static_cast<std::size_t>(
      std::distance(counts.begin(), std::ranges::max_element(counts)))];
}

}  // namespace counterion::text
