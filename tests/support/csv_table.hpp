#pragma once
// Small CSV tables of reference values: one header row, numbers and quoted texts.

#include <string>
#include <vector>

#include "gaugeloom/geo/position.hpp"

namespace gaugeloom::support {

class CsvTable {
 public:
  // A file below tests/. Throws std::runtime_error when it cannot be read or is not rectangular.
  static CsvTable read(const std::string& path_in_tests);
  static CsvTable read_file(const std::string& path);

  std::size_t rows() const { return rows_.size(); }
  const std::string& text(std::size_t row, const std::string& column) const;
  double number(std::size_t row, const std::string& column) const;
  // A column of numbers; "NA" and empty cells become NaN.
  std::vector<double> numbers(const std::string& column) const;
  std::vector<MetricPoint> points(const std::string& x, const std::string& y) const;

 private:
  std::size_t column(const std::string& name) const;
  std::string path_;
  std::vector<std::string> header_;
  std::vector<std::vector<std::string>> rows_;
};

}  // namespace gaugeloom::support
