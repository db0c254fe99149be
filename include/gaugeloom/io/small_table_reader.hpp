#pragma once
// Small tables in CSV with a header, read strictly: calibrations, visits, outages, decisions,
// temperatures. Every error names file, line and column.
// Source: RFC 4180; also LF, a UTF-8 byte order mark and no final newline are read.

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

class SmallTable {
 public:
  SmallTable() = default;

  const std::string& file() const { return file_; }
  const std::vector<std::string>& header() const { return header_; }
  std::size_t row_count() const { return lines_.size(); }
  // Every row has header().size() fields; spaces around unquoted fields are not part of them.
  const std::string& at(std::size_t row, std::size_t column) const {
    return fields_[row * header_.size() + column];
  }
  long line(std::size_t row) const { return lines_[row]; }

  std::optional<std::size_t> column(std::string_view name) const;
  // Throws Error{malformed_input} naming the column that is not there and those that are.
  std::size_t required_column(std::string_view name) const;

  // A field as a number, a time in UTC, or a non-empty text; each throws Error{malformed_input} at
  // its line and column for anything else. number() is finite; times without an offset are UTC.
  double number(std::size_t row, std::size_t column) const;
  Instant time(std::size_t row, std::size_t column) const;
  const std::string& text(std::size_t row, std::size_t column) const;
  // The same, and nothing for an empty field.
  std::optional<double> optional_number(std::size_t row, std::size_t column) const;
  std::optional<Instant> optional_time(std::size_t row, std::size_t column) const;

  InputPos position(std::size_t row, std::size_t column) const;

 private:
  friend SmallTable parse_small_table(std::string_view text, const std::string& name);
  std::string file_;
  std::vector<std::string> header_;
  std::vector<std::string> fields_;
  std::vector<long> lines_;
  std::vector<int> columns_;  // where each field begins in its line, counted in bytes from 1
};

// Reads a whole file of at most 256 MiB.
// Throws: Error{io_failure} when it cannot be read; Error{malformed_input} for bytes that are not
//         text, an empty file, the same column twice, a row of another length, an open quote.
SmallTable read_small_table(const std::string& path);
// The same of a text in memory; `name` stands for the file in messages.
SmallTable parse_small_table(std::string_view text, const std::string& name);

}  // namespace gaugeloom
