#include "gaugeloom/io/blind_spots_writer.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/geo/gauge_index.hpp"
#include "gaugeloom/geo/work_crs.hpp"
#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/io/geotiff_writer.hpp"

namespace gaugeloom {
namespace {

constexpr const char* kRegion = "(region)";

double percent(double from, double to) { return from > 0 ? 100 * (to - from) / from : 0; }

// Calls visit(name, target, error) for the region and each area; error(variance) is in mm.
template <typename Visit>
void for_each_target(const BlindSpotReport& report, const Visit& visit) {
  GAUGELOOM_ASSERT(report.areas.size() == report.spots.design.areas.size());
  visit(std::string(kRegion), report.spots.design.region,
        [&](double variance) { return point_error_mm(variance, report.variogram); });
  for (std::size_t a = 0; a < report.areas.size(); ++a)
    visit(report.areas[a].id, report.spots.design.areas[a],
          [](double variance) { return std::sqrt(std::max(0.0, variance)); });
}

std::vector<std::size_t> by_rise(const DesignTarget& target) {
  std::vector<std::size_t> order(target.without.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::ranges::stable_sort(
      order, [&](std::size_t a, std::size_t b) { return target.without[a] > target.without[b]; });
  return order;
}

}  // namespace

std::vector<MetricPoint> BlindSpotReport::positions() const {
  std::vector<MetricPoint> places;
  for (const Gauge& gauge : gauges) places.push_back(gauge.position);
  return places;
}

void write_blind_spots(AtomicFile& file, const BlindSpotReport& report) {
  CsvWriter csv(file, {"area", "gauge", "standard_error_mm", "without_mm", "rise_percent"});
  for_each_target(report,
                  [&](const std::string& name, const DesignTarget& target, const auto& error_mm) {
                    const double now_mm = error_mm(target.variance);
                    for (const std::size_t gauge : by_rise(target)) {
                      const double without_mm = error_mm(target.without[gauge]);
                      csv.row()
                          .text(name)
                          .text(report.gauges[gauge].id)
                          .fixed(now_mm, 3)
                          .fixed(without_mm, 3)
                          .fixed(percent(now_mm, without_mm), 2)
                          .end_row();
                    }
                  });
  csv.finish();
}

void write_new_gauge(AtomicFile& file, const BlindSpotReport& report) {
  const std::vector<MetricPoint> positions = report.positions();
  const GaugeIndex index(positions);
  const bool local = report.crs == kLocalCrs;
  const WorkCrs crs = local ? WorkCrs::local() : WorkCrs::from(report.crs);
  CsvWriter csv(file, {"area", "x", "y", "lon", "lat", "standard_error_mm", "with_mm",
                       "fall_percent", "nearest_gauge", "distance_km"});
  for_each_target(report,
                  [&](const std::string& name, const DesignTarget& target, const auto& error_mm) {
                    const std::size_t best = best_place(target);
                    const MetricPoint place = report.spots.place(best);
                    const Neighbour nearest = index.nearest(place, 1).front();
                    const double now_mm = error_mm(target.variance);
                    const double with_mm = error_mm(target.with[best]);
                    CsvRows& row = csv.row().text(name).fixed(place.x_m, 3).fixed(place.y_m, 3);
                    if (local) {
                      row.empty().empty();
                    } else {
                      const LonLat degrees = crs.inverse(place);
                      row.fixed(degrees.lon_deg, 6).fixed(degrees.lat_deg, 6);
                    }
                    row.fixed(now_mm, 3)
                        .fixed(with_mm, 3)
                        .fixed(-percent(now_mm, with_mm), 2)
                        .text(report.gauges[nearest.index].id)
                        .fixed(nearest.distance_m / 1000, 3)
                        .end_row();
                  });
  csv.finish();
}

void write_blind_spot_map(const std::string& path, const BlindSpotReport& report,
                          std::vector<std::pair<std::string, std::string>> metadata, int threads) {
  const Grid& grid = report.spots.grid;
  const NetworkDesign& design = report.spots.design;
  const std::vector<MetricPoint> positions = report.positions();
  const GaugeIndex index(positions);
  std::vector<float> cells(3 * grid.cell_count(), std::numeric_limits<float>::quiet_NaN());
  const double now_mm = point_error_mm(design.region.variance, report.variogram);
  for (std::size_t i = 0; i < report.spots.cells.size(); ++i) {
    const std::size_t cell = report.spots.cells[i];
    cells[cell] = static_cast<float>(point_error_mm(design.place_variance[i], report.variogram));
    cells[grid.cell_count() + cell] = static_cast<float>(
        -percent(now_mm, point_error_mm(design.region.with[i], report.variogram)));
    cells[2 * grid.cell_count() + cell] =
        static_cast<float>(index.nearest(report.spots.place(i), 1).front().distance_m / 1000);
  }
  const std::array<GeoTiffBand, 3> bands = {
      GeoTiffBand{"standard error of the total of a typical storm", "mm", OverviewRule::average},
      GeoTiffBand{"fall of the region's error with one more gauge here", "%",
                  OverviewRule::average},
      GeoTiffBand{"distance to the nearest gauge", "km", OverviewRule::average}};
  GeoTiffOptions options;
  options.crs = report.crs;
  options.threads = threads;
  options.metadata = std::move(metadata);
  write_geotiff(path, grid, bands, options, [&](const GridBlock& block, std::span<float> out) {
    for (std::size_t band = 0; band < 3; ++band)
      for (std::size_t row = 0; row < block.rows; ++row)
        std::copy_n(cells.data() + band * grid.cell_count() +
                        (block.first_row + row) * grid.columns + block.first_column,
                    block.columns, out.data() + band * block.cell_count() + row * block.columns);
  });
}

}  // namespace gaugeloom
