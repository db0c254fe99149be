#include "gaugeloom/io/calibration_reader.hpp"

#include <algorithm>
#include <vector>

#include "gaugeloom/io/small_table_reader.hpp"
#include "io/listed_gauges_internal.hpp"

namespace gaugeloom {
namespace {

CalibrationPoint point_at(const SmallTable& table, std::size_t row, std::size_t intensity,
                          std::size_t factor) {
  const CalibrationPoint point{table.number(row, intensity), table.number(row, factor)};
  if (point.intensity_mm_h < 0)
    throw Error(ErrorCode::malformed_input, "an intensity is 0 mm/h or more; correct it",
                table.position(row, intensity));
  if (point.factor < 0.5 || point.factor > 2)
    throw Error(ErrorCode::malformed_input,
                "a factor is between 0.5 and 2: true depth over indicated depth; correct it",
                table.position(row, factor));
  return point;
}

}  // namespace

std::map<std::size_t, CalibrationTable> read_calibrations(const std::string& path,
                                                          const Network& network, bool strict,
                                                          Notices& notices) {
  const SmallTable table = read_small_table(path);
  const std::size_t gauge = table.required_column("gauge");
  const std::size_t intensity = table.required_column("intensity_mm_h");
  const std::size_t factor = table.required_column("factor");
  ListedGauges listed(network, strict);
  std::map<std::size_t, std::vector<CalibrationPoint>> points;
  for (std::size_t row = 0; row < table.row_count(); ++row) {
    const CalibrationPoint point = point_at(table, row, intensity, factor);
    const auto found = listed.find(table, row, gauge);
    if (!found) continue;
    auto& of_gauge = points[*found];
    if (std::ranges::find(of_gauge, point.intensity_mm_h, &CalibrationPoint::intensity_mm_h) !=
        of_gauge.end())
      throw Error(ErrorCode::inconsistent_input,
                  "this intensity stands twice for its gauge; keep one factor",
                  table.position(row, intensity));
    of_gauge.push_back(point);
  }
  listed.tell(path, notices);
  std::map<std::size_t, CalibrationTable> tables;
  for (auto& [row, of_gauge] : points) tables.emplace(row, CalibrationTable(std::move(of_gauge)));
  return tables;
}

}  // namespace gaugeloom
