#include "support/csv_table.hpp"

#include <algorithm>
#include <fstream>
#include <limits>
#include <stdexcept>

namespace gaugeloom::support {
namespace {

std::vector<std::string> split(const std::string& line) {
  std::vector<std::string> cells(1);
  bool quoted = false;
  for (const char c : line) {
    if (c == '"')
      quoted = !quoted;
    else if (c == ',' && !quoted)
      cells.emplace_back();
    else if (c != '\r')
      cells.back() += c;
  }
  return cells;
}

}  // namespace

CsvTable CsvTable::read(const std::string& path_in_tests) {
  return read_file(std::string(GAUGELOOM_TEST_DATA) + "/" + path_in_tests);
}

CsvTable CsvTable::read_file(const std::string& path) {
  std::ifstream file(path);
  CsvTable table;
  table.path_ = path;
  std::string line;
  if (!std::getline(file, line)) throw std::runtime_error(path + ": cannot be read");
  table.header_ = split(line);
  while (std::getline(file, line)) {
    table.rows_.push_back(split(line));
    if (table.rows_.back().size() != table.header_.size())
      throw std::runtime_error(path + ": row " + std::to_string(table.rows_.size()) +
                               " does not match the header");
  }
  return table;
}

const std::string& CsvTable::text(std::size_t row, const std::string& name) const {
  return rows_.at(row)[column(name)];
}

double CsvTable::number(std::size_t row, const std::string& name) const {
  const std::string& cell = text(row, name);
  if (cell.empty() || cell == "NA") return std::numeric_limits<double>::quiet_NaN();
  return std::stod(cell);
}

std::vector<double> CsvTable::numbers(const std::string& name) const {
  std::vector<double> values;
  for (std::size_t row = 0; row < rows(); ++row) values.push_back(number(row, name));
  return values;
}

std::vector<MetricPoint> CsvTable::points(const std::string& x, const std::string& y) const {
  std::vector<MetricPoint> points;
  for (std::size_t row = 0; row < rows(); ++row) points.push_back({number(row, x), number(row, y)});
  return points;
}

std::size_t CsvTable::column(const std::string& name) const {
  const auto found = std::find(header_.begin(), header_.end(), name);
  if (found == header_.end()) throw std::runtime_error(path_ + ": no column " + name);
  return static_cast<std::size_t>(found - header_.begin());
}

}  // namespace gaugeloom::support
