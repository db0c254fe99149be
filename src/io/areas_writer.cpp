#include "gaugeloom/io/areas_writer.hpp"

#include <vector>

#include "gaugeloom/core/bulk_budget.hpp"
#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {

void write_areas(AtomicFile& file, const AreaSeries& series, const StepAxis& axis,
                 std::span<const Area> areas) {
  CsvWriter csv(file, {"time", "area", "mean_mm", "low_mm", "high_mm", "supported_share"});
  const BulkAcross across;  // rows of one time, from rows of one area
  for (std::size_t step = 0; step < series.steps; ++step) {
    const std::string time = format_utc(axis.end(step));
    for (std::size_t area = 0; area < areas.size(); ++area) {
      const std::size_t i = area * series.steps + step;
      CsvRows& row = csv.row();
      row.raw(time).text(areas[area].id).fixed(static_cast<double>(series.mean_mm[i]), 3);
      row.fixed(static_cast<double>(series.low_mm[i]), 3);
      row.fixed(static_cast<double>(series.high_mm[i]), 3);
      row.fixed(static_cast<double>(series.supported_share[i]), 2);
      row.end_row();
    }
  }
  csv.finish();
}

void write_storm_areas(AtomicFile& file, std::span<const StormArea> rows,
                       std::span<const Storm> storms, std::span<const Area> areas) {
  CsvWriter csv(file, {"storm", "area", "name", "km2", "mean_mm", "low_mm", "high_mm",
                       "standard_error_mm", "max_mm", "share_filled", "supported_share", "gauges",
                       "thiessen_mm", "inverse_distance_mm"});
  for (const StormArea& one : rows) {
    const Area& area = areas[one.area];
    CsvRows& row = csv.row();
    row.raw(storms[one.storm].id).text(area.id).text(area.name);
    row.fixed(area_m2(area.polygon) / 1e6, 3);
    row.fixed(one.mean_mm, 3).fixed(one.low_mm, 3).fixed(one.high_mm, 3);
    row.fixed(one.standard_error_mm, 3).fixed(one.max_mm, 3);
    row.fixed(one.share_filled, 4).fixed(one.supported_share, 4);
    row.integer(static_cast<long long>(one.gauges));
    row.fixed(one.thiessen_mm, 3).fixed(one.inverse_distance_mm, 3);
    row.end_row();
  }
  csv.finish();
}

}  // namespace gaugeloom
