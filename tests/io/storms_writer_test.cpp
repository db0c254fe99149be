#include "gaugeloom/io/storms_writer.hpp"

#include <gtest/gtest.h>

#include <limits>

#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
const Instant kBegin = std::chrono::sys_days{std::chrono::year{2021} / 3 / 4};

Network one_gauge(const char* crs) {
  Gauge gauge;
  gauge.id = "A1";
  Network network;
  network.gauges = {gauge};
  network.working_crs = crs;
  return network;
}

std::vector<Storm> one_storm() {
  return {{"20210304T0000Z", {kBegin, kBegin + std::chrono::minutes(90)}, {0, 9}, true}};
}

// The file that `write` leaves, without its header.
template <typename Write>
std::string rows_of(const Write& write) {
  const support::TemporaryFolder folder;
  AtomicFile file(folder / "file.csv");
  write(file);
  file.commit();
  const std::string text = support::read_file(folder / "file.csv");
  return text.substr(text.find('\n') + 1);
}

TEST(StormsWriter, WritesAStorm) {
  StormOverview overview{1, 1, 4.5, 6, 0, 0.25, 0, {}};
  overview.peaks_mm.fill(kNan);
  overview.peaks_mm[1] = 2;
  StormTrack track;
  track.centre = MetricPoint{1000, 2000};
  track.motion = StormMotion{3, 4, 0.875};
  EXPECT_EQ(rows_of([&](AtomicFile& file) {
              write_storms(file, one_storm(), std::vector{overview}, std::vector{track},
                           one_gauge("local"));
            }),
            "20210304T0000Z,2021-03-04T00:00:00Z,2021-03-04T01:30:00Z,yes,1.50,4.500,6.000,A1,1,1,"
            "0.2500,0.0000,,,1000.000,2000.000,NE,5.0,3.0,4.0,0.88,,12.000,,,,,,,,\n");
}

TEST(StormsWriter, LeavesEmptyWhatIsUnknown) {
  StormOverview overview{0, 0, kNan, kNan, {}, 0, 1, {}};
  overview.peaks_mm.fill(kNan);
  EXPECT_EQ(rows_of([&](AtomicFile& file) {
              write_storms(file, one_storm(), std::vector{overview}, std::vector{StormTrack{}},
                           one_gauge("EPSG:3035"));
            }),
            "20210304T0000Z,2021-03-04T00:00:00Z,2021-03-04T01:30:00Z,yes,1.50,,,,0,0,"
            "0.0000,1.0000,,,,,,,,,,,,,,,,,,,\n");
}

TEST(StormsWriter, WritesTheCentreInDegreesToo) {
  StormTrack track;
  track.points = {
      {{kBegin, kBegin + std::chrono::hours(1)}, 1.5, 3, MetricPoint{4321000, 3210000}}};
  EXPECT_EQ(rows_of([&](AtomicFile& file) {
              write_storm_tracks(file, one_storm(), std::vector{track}, one_gauge("EPSG:3035"));
            }),
            // the centre of this projection
            "20210304T0000Z,2021-03-04T00:00:00Z,2021-03-04T01:00:00Z,1.500,3,10.000000,52.000000,"
            "4321000.000,3210000.000\n");
}

TEST(StormsWriter, WritesAGaugeOfAStorm) {
  StormGauge row{0, 0, 12, 10, 15, 0.25, 1.25, 1.5, 0.5, 0, Quality::estimate, {}, {}};
  row.wet = Interval{kBegin, kBegin + std::chrono::hours(1)};
  row.peaks_mm.fill(kNan);
  row.peaks_mm[9] = 12;
  EXPECT_EQ(rows_of([&](AtomicFile& file) {
              write_storm_gauges(file, std::vector{row}, one_storm(), one_gauge("local"));
            }),
            "20210304T0000Z,A1,12.000,10.000,15.000,1.500,0.250,1.250,0.5000,0.0000,estimate,"
            "2021-03-04T00:00:00Z,2021-03-04T01:00:00Z,,,,,,,,,,12.000\n");
}

TEST(StormsWriter, WritesDepthAreaDuration) {
  const std::vector<DepthAreaDuration> rows = {
      {0, std::chrono::minutes(30), 12.5, 8.25, {kBegin, kBegin + std::chrono::minutes(30)}}};
  EXPECT_EQ(rows_of([&](AtomicFile& file) { write_depth_area_duration(file, rows, one_storm()); }),
            "20210304T0000Z,30min,12.500,8.250,2021-03-04T00:00:00Z,2021-03-04T00:30:00Z\n");
}

TEST(StormsWriter, WritesHeadersAlone) {
  const Network network = one_gauge("local");
  EXPECT_EQ(rows_of([&](AtomicFile& file) { write_storms(file, {}, {}, {}, network); }), "");
  EXPECT_EQ(rows_of([&](AtomicFile& file) { write_storm_gauges(file, {}, {}, network); }), "");
  EXPECT_EQ(rows_of([&](AtomicFile& file) { write_storm_tracks(file, {}, {}, network); }), "");
}

}  // namespace
}  // namespace gaugeloom
