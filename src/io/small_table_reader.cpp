#include "gaugeloom/io/small_table_reader.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

#include "gaugeloom/time/iso8601.hpp"
#include "io/byte_source_internal.hpp"
#include "io/csv_fields_internal.hpp"
#include "io/text_check_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kLargestTable = std::size_t{256} << 20;
constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";

[[noreturn]] void malformed(const std::string& sentence, InputPos pos) {
  throw Error(ErrorCode::malformed_input, sentence, std::move(pos));
}

// Takes the first line from a text, without its newline.
std::string_view take_line(std::string_view& text) {
  const std::size_t end = std::min(text.find('\n'), text.size());
  const std::string_view line = text.substr(0, end);
  text.remove_prefix(std::min(end + 1, text.size()));
  return line;
}

std::string joined(const std::vector<std::string>& names) {
  std::string text;
  for (const std::string& name : names) text += (text.empty() ? "" : ",") + name;
  return text;
}

struct LineFields {
  std::vector<std::string> texts;
  std::vector<int> columns;
};

LineFields split(std::string_view line, const InputPos& pos) {
  if (line.size() > kLongestLine) malformed("this line is longer than 16 MiB; split it", pos);
  if (const auto odd = first_not_text(line))
    malformed("this byte is not text; save the file as UTF-8",
              {pos.file, pos.line, static_cast<int>(*odd) + 1});
  LineFields fields;
  CsvLine csv(line);
  for (CsvField field; csv.next(field);) {
    if (fields.texts.size() == kMostColumns)
      malformed("this line has more than 1048576 columns; split the file", pos);
    fields.texts.emplace_back(field.text);
    fields.columns.push_back(field.column);
  }
  if (!csv.problem().empty())
    malformed(std::string(csv.problem()), {pos.file, pos.line, csv.column()});
  return fields;
}

void check_header(const std::vector<std::string>& header, const std::vector<int>& columns,
                  const InputPos& pos) {
  std::vector<std::string_view> sorted(header.begin(), header.end());
  std::sort(sorted.begin(), sorted.end());
  const auto twice = std::adjacent_find(sorted.begin(), sorted.end());
  if (twice == sorted.end()) return;
  const auto first = std::find(header.begin(), header.end(), *twice);
  const auto second = std::find(first + 1, header.end(), *twice);
  malformed("column " + quoted_for_message(*twice) + " stands twice; rename one",
            {pos.file, pos.line, columns[static_cast<std::size_t>(second - header.begin())]});
}

}  // namespace

std::optional<std::size_t> SmallTable::column(std::string_view name) const {
  const auto found = std::find(header_.begin(), header_.end(), name);
  if (found == header_.end()) return std::nullopt;
  return static_cast<std::size_t>(found - header_.begin());
}

std::size_t SmallTable::required_column(std::string_view name) const {
  const auto found = column(name);
  if (!found)
    malformed("there is no column '" + std::string(name) + "' (found " +
                  quoted_for_message(joined(header_)) + "); add it, separated by commas",
              {file_, 1, 0});
  return *found;
}

InputPos SmallTable::position(std::size_t row, std::size_t column) const {
  return {file_, lines_[row], columns_[row * header_.size() + column]};
}

double SmallTable::number(std::size_t row, std::size_t column) const {
  const std::string& text = at(row, column);
  double value = 0;
  const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (code != std::errc{} || end != text.data() + text.size() || !std::isfinite(value))
    malformed(header_[column] + " " + quoted_for_message(text) +
                  " is not a finite number; write one with a point",
              position(row, column));
  return value;
}

Instant SmallTable::time(std::size_t row, std::size_t column) const {
  const auto parsed = parse_iso8601(at(row, column));
  if (!parsed)
    malformed(header_[column] + " " + quoted_for_message(at(row, column)) +
                  " is not a time; write it as 2021-03-04T10:00Z",
              position(row, column));
  return parsed->utc();
}

const std::string& SmallTable::text(std::size_t row, std::size_t column) const {
  const std::string& value = at(row, column);
  if (value.empty()) malformed(header_[column] + " is empty; fill it in", position(row, column));
  return value;
}

std::optional<double> SmallTable::optional_number(std::size_t row, std::size_t column) const {
  if (at(row, column).empty()) return std::nullopt;
  return number(row, column);
}

std::optional<Instant> SmallTable::optional_time(std::size_t row, std::size_t column) const {
  if (at(row, column).empty()) return std::nullopt;
  return time(row, column);
}

SmallTable parse_small_table(std::string_view text, const std::string& name) {
  if (text.starts_with(kByteOrderMark)) text.remove_prefix(kByteOrderMark.size());
  SmallTable table;
  table.file_ = name;
  if (text.empty()) malformed("is empty; it needs a header line", {name, 0, 0});
  LineFields header = split(take_line(text), {name, 1, 0});
  check_header(header.texts, header.columns, {name, 1, 0});
  table.header_ = std::move(header.texts);
  for (long line = 2; !text.empty(); ++line) {
    const std::string_view content = take_line(text);
    if (trimmed(content).empty() || content == "\r") continue;
    LineFields row = split(content, {name, line, 0});
    if (row.texts.size() != table.header_.size())
      malformed("this line has " + std::to_string(row.texts.size()) + " fields, the header has " +
                    std::to_string(table.header_.size()) + "; make them the same",
                {name, line, 0});
    table.lines_.push_back(line);
    std::move(row.texts.begin(), row.texts.end(), std::back_inserter(table.fields_));
    table.columns_.insert(table.columns_.end(), row.columns.begin(), row.columns.end());
  }
  return table;
}

SmallTable read_small_table(const std::string& path) {
  const auto source = open_file(path);
  return parse_small_table(read_all(*source, kLargestTable, path), path);
}

}  // namespace gaugeloom
