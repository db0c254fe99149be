#include "gaugeloom/io/areas_writer.hpp"

#include <gtest/gtest.h>

#include <limits>

#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

const Instant kBegin = std::chrono::sys_days{std::chrono::year{2021} / 3 / 4};

std::vector<Area> two_areas() {
  Area one;
  one.id = "C1";
  one.name = "Mill, upper";
  one.polygon.parts = {{{{0, 0}, {2000, 0}, {2000, 1500}, {0, 1500}}, {}}};
  Area other = one;
  other.id = "C2";
  other.name = "";
  return {one, other};
}

TEST(AreasWriter, WritesStepsByTime) {
  constexpr float kNan = std::numeric_limits<float>::quiet_NaN();
  AreaSeries series;
  series.steps = 2;
  series.mean_mm = {1, 0, kNan, 2.5F};
  series.low_mm = {0.5F, 0, kNan, 2};
  series.high_mm = {1.5F, 0, kNan, 3};
  series.supported_share = {1, 1, 0, 0.25F};
  const support::TemporaryFolder folder;
  AtomicFile file(folder / "areas.csv");
  const StepAxis axis(kBegin + std::chrono::hours(1), std::chrono::hours(1), 2);
  write_areas(file, series, axis, two_areas());
  file.commit();
  EXPECT_EQ(support::read_file(folder / "areas.csv"),
            "time,area,mean_mm,low_mm,high_mm,supported_share\n"
            "2021-03-04T01:00:00Z,C1,1.000,0.500,1.500,1.00\n"
            "2021-03-04T01:00:00Z,C2,,,,0.00\n"
            "2021-03-04T02:00:00Z,C1,0.000,0.000,0.000,1.00\n"
            "2021-03-04T02:00:00Z,C2,2.500,2.000,3.000,0.25\n");
}

TEST(AreasWriter, WritesAStorm) {
  const std::vector<Storm> storms = {{"20210304T0000Z", {}, {}, false}};
  StormArea row;
  row.mean_mm = 12;
  row.low_mm = 10;
  row.high_mm = 14;
  row.standard_error_mm = 1.25;
  row.max_mm = 20;
  row.share_filled = 0.125;
  row.supported_share = 1;
  row.thiessen_mm = 12.5;
  row.inverse_distance_mm = 11.5;
  row.gauges = 9;
  const support::TemporaryFolder folder;
  AtomicFile file(folder / "storm_areas.csv");
  write_storm_areas(file, std::vector{row}, storms, two_areas());
  file.commit();
  EXPECT_EQ(support::read_file(folder / "storm_areas.csv"),
            "storm,area,name,km2,mean_mm,low_mm,high_mm,standard_error_mm,max_mm,share_filled,"
            "supported_share,gauges,thiessen_mm,inverse_distance_mm\n"
            "20210304T0000Z,C1,\"Mill, upper\",3.000,12.000,10.000,14.000,1.250,20.000,0.1250,"
            "1.0000,9,12.500,11.500\n");
}

}  // namespace
}  // namespace gaugeloom
