// Reads gauges and catchments from the PostGIS tables of tables.sql; started by with_postgis.
#include <gtest/gtest.h>

#include <cstdlib>
#include <sstream>

#include "cli/command.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/io/area_reader.hpp"
#include "gaugeloom/io/gauge_reader.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "support/temporary_folder.hpp"
#include "support/vector_file.hpp"

namespace gaugeloom {
namespace {

std::string database() {
  const char* folder = std::getenv("GAUGELOOM_POSTGIS");
  return std::string("PG:host=") + (folder == nullptr ? "" : folder) +
         " user=postgres dbname=postgres password=s3cret";
}

TEST(PostGis, GivesGauges) {
  std::vector<std::string> notices;
  GaugeReadOptions options;
  options.layer = "gauges";
  const Network network = read_gauges(database(), options, notices);
  ASSERT_EQ(network.size(), 3U);
  EXPECT_EQ(network.working_crs, "EPSG:3035");
  EXPECT_EQ(network.gauges[0].label(), "Upper Mill (A1)");
  EXPECT_EQ(network.gauges[0].elevation_m, 412.5);
  EXPECT_EQ(network.gauges[0].bucket_mm, 0.254);
  EXPECT_EQ(network.gauges[0].opened, parse_iso8601("2001-05-01")->utc());
  EXPECT_EQ(network.gauges[1].bucket_mm, 0.2);
  EXPECT_FALSE(network.gauges[1].elevation_m);
  EXPECT_EQ(network.gauges[2].name, "Ödalm");
  EXPECT_EQ(network.gauges[2].closed, parse_iso8601("2020-02-29")->utc());
  EXPECT_EQ(network.gauges[2].position, (MetricPoint{4331000, 3222000.5}));
  EXPECT_TRUE(notices.empty());
}

TEST(PostGis, GivesCatchments) {
  std::vector<std::string> notices;
  AreaReadOptions options;
  options.layer = "catchments";
  const auto areas = read_areas(database(), "EPSG:3035", options, notices);
  ASSERT_EQ(areas.size(), 1U);
  EXPECT_EQ(areas[0].id, "7");
  EXPECT_DOUBLE_EQ(area_m2(areas[0].polygon), 1e8);
}

// What storms makes of the catchments of a source.
void find_storms_over(const std::string& areas, const std::string& out) {
  const std::string tiny = GAUGELOOM_TEST_DATA "/cli/inputs/tiny/";
  std::ostringstream said, complaint;
  ASSERT_EQ(
      dispatch(std::vector<std::string>{"storms", "--gauges", tiny + "gauges.csv", "--rain",
                                        tiny + "rain_gap.csv", "--areas", areas, "--areas-layer",
                                        "basins", "--areas-id", "code", "--out", out},
               {said, complaint}),
      Exit::ok)
      << complaint.str();
  EXPECT_EQ(complaint.str(), "");
}

TEST(PostGis, GivesTheRainOfCatchmentsAsAFileDoes) {
  const support::TemporaryFolder folder;
  const std::string file = folder / "basins.geojson";
  support::write_vector(file, "GeoJSON", "basins", "EPSG:4326",
                        {{{{"code", "west"}, {"name", "Lange Öd"}},
                          "POLYGON ((9.99 50, 10.04 50, 10.04 50.09, 9.99 50.09, 9.99 50), "
                          "(10 50.02, 10.02 50.02, 10.02 50.03, 10 50.02))"},
                         {{{"code", "east"}},
                          "MULTIPOLYGON (((10.06 50, 10.1 50, 10.1 50.03, 10.06 50)), "
                          "((10.06 50.05, 10.08 50.05, 10.08 50.07, 10.06 50.05)))"}});
  find_storms_over(file, folder / "file");
  find_storms_over(database(), folder / "table");
  for (const char* name : {"areas.csv", "storm_areas.csv"}) {
    const std::string expected = support::read_file(folder / (std::string("file/") + name));
    EXPECT_NE(expected.find("east"), std::string::npos);
    EXPECT_EQ(support::read_file(folder / (std::string("table/") + name)), expected) << name;
  }
  const std::string record = support::read_file(folder / "table/run.json");
  EXPECT_NE(record.find("password=***"), std::string::npos);
  EXPECT_EQ(record.find("s3cret"), std::string::npos);
}

TEST(PostGis, HidesThePasswordWhenItAsksForALayer) {
  std::vector<std::string> notices;
  try {
    read_gauges(database() + "x", {}, notices);  // another password, several layers
    ADD_FAILURE() << "nothing thrown";
  } catch (const Error& error) {
    const std::string text = error.what();
    EXPECT_NE(text.find("choose one with --layer"), std::string::npos) << text;
    EXPECT_EQ(text.find("s3cret"), std::string::npos) << text;
    EXPECT_EQ(text.find('\n'), std::string::npos) << text;
  }
}

}  // namespace
}  // namespace gaugeloom
