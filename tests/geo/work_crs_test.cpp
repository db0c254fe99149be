#include "gaugeloom/geo/work_crs.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <thread>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

template <class Call>
void expect_error(ErrorCode code, const std::string& part, Call call) {
  try {
    call();
    ADD_FAILURE() << "nothing thrown; wanted: " << part;
  } catch (const Error& error) {
    EXPECT_EQ(error.code(), code) << error.what();
    EXPECT_NE(std::string(error.what()).find(part), std::string::npos) << error.what();
  }
}

TEST(WorkCrs, SpellsItsDefinitionOutInFull) {
  EXPECT_EQ(WorkCrs::centred_on({8.5449, -0.001}).definition(),
            "+proj=laea +lat_0=0.00 +lon_0=8.54 +x_0=0 +y_0=0 +datum=WGS84 +units=m +no_defs "
            "+type=crs");
}

TEST(WorkCrs, ComesBackToTheDegreesItStartedFrom) {
  // 1e-8 degrees, about 1 mm: the series PROJ uses for the inverse.
  for (const LonLat centre : {LonLat{8.5, 47.2}, LonLat{-179.9, -44}, LonLat{0, 0}}) {
    const WorkCrs work = WorkCrs::centred_on(centre);
    const LonLat place{centre.lon_deg - 0.05, centre.lat_deg + 1};
    const LonLat back = work.inverse(work.forward(place));
    EXPECT_NEAR(back.lon_deg, place.lon_deg, 1e-8);
    EXPECT_NEAR(back.lat_deg, place.lat_deg, 1e-8);
  }
}

TEST(WorkCrs, KeepsAreaAndScaleNearItsCentre) {
  const WorkCrs work = WorkCrs::centred_on({8.5, 47.2});
  // One degree of latitude at 47.2 N is 111.18 km (WGS 84 meridian arc, from memory).
  const double north_m = distance_m(work.forward({8.5, 46.7}), work.forward({8.5, 47.7}));
  EXPECT_NEAR(north_m, 111180, 20);
}

TEST(WorkCrs, FindsTheCentreAcrossTheDateLine) {
  const std::vector<LonLat> places = {{179.5, -40}, {-179.1, -42}, {178.9, -41}};
  EXPECT_EQ(centre_of(places), (LonLat{179.9, -41}));
  EXPECT_EQ(centre_of(std::vector<LonLat>{{12.344, 45.678}}), (LonLat{12.34, 45.68}));
}

TEST(WorkCrs, UsesTheSourcesOwnMetresUntouched) {
  const std::vector<CrsPoint> points = {{4321000.1234567, 3210000.5}, {4330000, 3200000}};
  const Placement placed = place_in_work_crs(points, "EPSG:3035");
  EXPECT_EQ(placed.working_crs, "EPSG:3035");
  EXPECT_EQ(placed.positions[0], (MetricPoint{4321000.1234567, 3210000.5}));
  ASSERT_EQ(placed.lon_lat.size(), 2U);
  EXPECT_NEAR(placed.lon_lat[0].lon_deg, 10, 0.1);
}

TEST(WorkCrs, PlacesDegreesInAnEqualAreaMap) {
  const std::vector<CrsPoint> points = {{8, 47}, {9, 47.4}};
  const Placement placed = place_in_work_crs(points, "EPSG:4326");
  EXPECT_NE(placed.working_crs.find("+proj=laea +lat_0=47.20 +lon_0=8.50"), std::string::npos);
  EXPECT_EQ(placed.lon_lat[1], (LonLat{9, 47.4}));
  for (const MetricPoint& point : placed.positions)
    EXPECT_NEAR(point.x_m * 1000, std::round(point.x_m * 1000), 1e-6);  // whole millimetres
}

TEST(WorkCrs, DoesNotComputeInAMapThatStretches) {
  const std::vector<CrsPoint> points = {{950000, 5980000}, {960000, 5990000}};
  const Placement placed = place_in_work_crs(points, "EPSG:3857");
  EXPECT_NE(placed.working_crs.find("+proj=laea"), std::string::npos);
  expect_error(ErrorCode::unsupported_crs, "stretches distances by",
               [&] { place_in_work_crs(points, "EPSG:3857", "EPSG:3857"); });
}

TEST(WorkCrs, KeepsLocalMetresLocal) {
  const std::vector<CrsPoint> points = {{-5, 1e6}};
  const Placement placed = place_in_work_crs(points, "local");
  EXPECT_EQ(placed.working_crs, "local");
  EXPECT_EQ(placed.positions[0], (MetricPoint{-5, 1e6}));
  EXPECT_TRUE(placed.lon_lat.empty());
  expect_error(ErrorCode::unsupported_crs, "plain metres",
               [&] { place_in_work_crs(points, "local", "EPSG:3035"); });
  expect_error(ErrorCode::unsupported_crs, "--crs local",
               [&] { place_in_work_crs(points, "EPSG:3035", "local"); });
  expect_error(ErrorCode::unsupported_crs, "no place on Earth", [&] {
    WorkCrs::local().inverse({1, 2});
  });
}

TEST(WorkCrs, RefusesWhatIsUnknownOrNotMetric) {
  expect_error(ErrorCode::unsupported_crs, "unknown CRS \"EPSG:999999\"",
               [] { WorkCrs::from("EPSG:999999"); });
  expect_error(ErrorCode::unsupported_crs, "unknown CRS", [] { describe_crs("no such thing"); });
  expect_error(ErrorCode::unsupported_crs, "not in metres", [] { WorkCrs::from("EPSG:4326"); });
  expect_error(ErrorCode::unsupported_crs, "not in metres", [] { WorkCrs::from("EPSG:2263"); });
  expect_error(ErrorCode::unsupported_crs, "Earth's surface", [] { describe_crs("EPSG:4978"); });
}

TEST(WorkCrs, RefusesCoordinatesOutOfRange) {
  const auto place = [](CrsPoint point, const char* crs) {
    return [=] { place_in_work_crs(std::vector<CrsPoint>{{8, 50}, point}, crs); };
  };
  expect_error(ErrorCode::malformed_input, "point 2: coordinates out of range",
               place({190, 50}, "EPSG:4326"));
  expect_error(ErrorCode::malformed_input, "out of range", place({8, -90.5}, "EPSG:4326"));
  const double nan = std::numeric_limits<double>::quiet_NaN();
  expect_error(ErrorCode::malformed_input, "out of range", place({nan, 5}, "EPSG:4326"));
  expect_error(ErrorCode::malformed_input, "finite", place({nan, 5}, "local"));
}

TEST(WorkCrs, RefusesPlacesOutsideTheAreaOfUse) {
  expect_error(ErrorCode::unsupported_crs,
               "outside the area of use of CRS \"WGS 84 / UTM zone 32N\"", [] {
                 WorkCrs::from("EPSG:32632").forward({40, 50});
               });
  EXPECT_NO_THROW(WorkCrs::from("EPSG:32632").forward({12.9, 50}));  // just across the zone
  expect_error(ErrorCode::unsupported_crs, "outside the area of use", [] {
    place_in_work_crs(std::vector<CrsPoint>{{0, 0}}, "EPSG:3035");
  });
}

TEST(WorkCrs, CanBeAskedFromSeveralThreads) {
  const WorkCrs work = WorkCrs::centred_on({8.5, 47.2});
  std::vector<MetricPoint> got(4);
  std::vector<std::thread> threads;
  for (std::size_t i = 0; i < got.size(); ++i)
    threads.emplace_back([&, i] {
      for (int repeat = 0; repeat < 100; ++repeat) got[i] = work.forward({8.7, 47.1});
    });
  for (std::thread& thread : threads) thread.join();
  for (const MetricPoint& point : got) EXPECT_EQ(point, work.forward({8.7, 47.1}));
}

}  // namespace
}  // namespace gaugeloom
