#pragma once
// The fields of one line of CSV. Source: RFC 4180; a line break inside quotes is not read.

#include <deque>
#include <string>
#include <string_view>

namespace gaugeloom {

// Limits that keep hostile input in bounded memory; our choice.
inline constexpr std::size_t kLongestLine = std::size_t{16} << 20;
inline constexpr std::size_t kMostColumns = std::size_t{1} << 20;

struct CsvField {
  std::string_view text;  // without quotes and, unless quoted, without spaces around
  int column = 1;         // where it begins in its line, counted in bytes from 1
};

// Takes the fields of a line one after another. `text` of a field lives as long as the line and the
// CsvLine.
class CsvLine {
 public:
  // `line` without its newline; a CR at its end is dropped.
  explicit CsvLine(std::string_view line);

  // The next field. False at the end, or for broken quotes: then problem() is not empty.
  bool next(CsvField& field);
  // What is wrong with the quotes, as a sentence; column() says where.
  std::string_view problem() const { return problem_; }
  int column() const { return static_cast<int>(at_) + 1; }

 private:
  bool next_quoted(CsvField& field);
  std::string_view line_;
  std::size_t at_ = 0;
  bool ended_ = false;
  std::string_view problem_;
  std::deque<std::string> unescaped_;  // fields with doubled quotes
};

std::string_view trimmed(std::string_view text);

}  // namespace gaugeloom
