// The committed files of the invented basin are what the generator makes, and they can be read.
#include "support/demo_basin.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "gaugeloom/io/area_reader.hpp"
#include "gaugeloom/io/elevation_reader.hpp"
#include "gaugeloom/io/gauge_reader.hpp"
#include "io/byte_source_internal.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

using support::DemoBasin;

const std::string kFolder = std::string(GAUGELOOM_ROOT) + "/data/velsarn/";

const DemoBasin& made() {
  static const DemoBasin basin = support::demo_basin();
  return basin;
}

// One line of difference says more than two texts of megabytes.
void expect_same_text(const std::string& committed, const std::string& generated) {
  if (committed == generated) return;
  const auto differ =
      std::mismatch(committed.begin(), committed.end(), generated.begin(), generated.end());
  const auto at = static_cast<std::size_t>(differ.first - committed.begin());
  const std::size_t line = committed.rfind('\n', at == 0 ? 0 : at - 1);
  const std::size_t from = line == std::string::npos ? 0 : line + 1;
  ADD_FAILURE() << "byte " << at << ": committed " << committed.substr(from, 60) << "\n generated "
                << generated.substr(std::min(from, generated.size()), 60);
}

TEST(DemoBasin, TextFilesAreWhatTheGeneratorMakes) {
  expect_same_text(support::read_file(kFolder + "gauges.csv"), gauges_csv(made()));
  expect_same_text(support::read_file(kFolder + "catchments.geojson"), catchments_geojson(made()));
  expect_same_text(support::read_file(kFolder + "planted_faults.csv"), planted_faults_csv(made()));
  expect_same_text(support::read_file(kFolder + "calibration.csv"), support::calibration_csv());
  expect_same_text(support::read_file(kFolder + "visits.csv"), support::visits_csv());
  expect_same_text(support::read_file(kFolder + "outages.csv"), support::outages_csv());
}

std::string unpacked(const std::string& name) {
  const auto source = open_file(kFolder + name);
  return read_all(*source, 64U << 20U, name);
}

TEST(DemoBasin, RainAndTipsAreWhatTheGeneratorMakes) {
  expect_same_text(unpacked("rain.csv.gz"), rain_csv(made()));
  expect_same_text(unpacked("tips.csv.gz"), tips_csv(made()));
}

TEST(DemoBasin, ElevationIsWhatTheGeneratorMakes) {
  const support::ElevationGrid& grid = made().elevation;
  std::vector<MetricPoint> centres;
  for (int row = 0; row < grid.rows; ++row)
    for (int column = 0; column < grid.columns; ++column)
      centres.push_back(
          {grid.west_m + (column + 0.5) * grid.cell_m, grid.north_m - (row + 0.5) * grid.cell_m});
  const auto read = sample_elevation(kFolder + "elevation.tif", "EPSG:3035", centres);
  for (std::size_t i = 0; i < read.size(); ++i)
    ASSERT_NEAR(read[i], grid.elevation_m[i], 1e-3) << i;  // whole metres in the file
}

TEST(DemoBasin, GaugesAndCatchmentsAreReadAsTheyWereMade) {
  std::vector<std::string> notices;
  GaugeReadOptions options;
  options.crs = "EPSG:3035";
  const Network network = read_gauges(kFolder + "gauges.csv", options, notices);
  EXPECT_EQ(network.positions(), made().network.positions());
  const auto areas = read_areas(kFolder + "catchments.geojson", network.working_crs, {}, notices);
  EXPECT_TRUE(notices.empty());
  ASSERT_EQ(areas.size(), 5U);
  for (std::size_t i = 0; i < areas.size(); ++i) {
    EXPECT_EQ(areas[i].id, made().catchments[i].id);
    // Six decimals of a degree are 0.1 m; the catchments are tens of kilometres around.
    const double want_m2 = area_m2(made().catchments[i].polygon);
    EXPECT_NEAR(area_m2(areas[i].polygon) / want_m2, 1, 1e-5);
  }
}

TEST(DemoBasin, CatchmentsShareTheirEdges) {
  for (const MetricPoint& gauge : made().network.positions()) {
    int inside = 0;
    for (const Area& area : made().catchments) inside += contains(area.polygon, gauge) ? 1 : 0;
    EXPECT_LE(inside, 1);
  }
  double sum_m2 = 0;
  for (const Area& area : made().catchments) {
    EXPECT_FALSE(problem(area.polygon)) << area.id;
    sum_m2 += area_m2(area.polygon);
  }
  EXPECT_NEAR(sum_m2 * 1e-6, 1900, 250);
}

struct Shows {
  const char* finding;
  double least_said_mm, most_said_mm, least_fallen_mm, most_fallen_mm;
};

TEST(DemoBasin, PlantedFaultsShowInTheRecord) {
  const Shows all[] = {{"blocked", 0, 0, 30, 100},          {"release_burst", 20, 45, 0, 0},
                       {"partly_blocked", 20, 60, 20, 80},  {"reads_low", 15, 60, 30, 100},
                       {"phantom_rain", 11.8, 12.2, 0, 0},  {"stuck", 19.1, 19.3, 0, 0},
                       {"impossible_rate", 236, 237, 0, 0}, {"clock_offset", 80, 150, 80, 150}};
  const RainTable& rain = made().rain;
  for (const support::PlantedFault& fault : made().faults) {
    SCOPED_TRACE(fault.finding);
    const auto range = rain.axis().within(fault.window);
    ASSERT_LT(range.first, range.last);
    const double said_mm = window_sum(rain, fault.gauge, range.first, range.last);
    double fell_mm = 0;
    for (std::size_t step = range.first; step < range.last; ++step)
      fell_mm += made().water_mm[fault.gauge * rain.step_count() + step];
    if (fault.finding == "missing") {
      EXPECT_TRUE(std::isnan(said_mm));
      EXPECT_GT(fell_mm, 10);
      continue;
    }
    const auto shows = std::find_if(std::begin(all), std::end(all),
                                    [&](const Shows& one) { return one.finding == fault.finding; });
    ASSERT_NE(shows, std::end(all));
    EXPECT_GE(said_mm, shows->least_said_mm);
    EXPECT_LE(said_mm, shows->most_said_mm);
    EXPECT_GE(fell_mm, shows->least_fallen_mm);
    EXPECT_LE(fell_mm, shows->most_fallen_mm);
  }
}

}  // namespace
}  // namespace gaugeloom
