#include "gaugeloom/storms/storm_track.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

#include "support/synthetic_rain.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kSteps = 72;  // of 10 minutes

// A bell of rain `width_km` wide that passes the middle of the network at half time.
RainTable moving_bell(const std::vector<MetricPoint>& places, double east_km_h, double north_km_h,
                      double width_km) {
  const StepAxis axis(Instant{} + std::chrono::minutes(10), std::chrono::minutes(10), kSteps);
  RainTable table(axis, places.size());
  for (std::size_t g = 0; g < places.size(); ++g)
    for (std::size_t s = 0; s < kSteps; ++s) {
      const double hours = (static_cast<double>(s) + 0.5) / 6 - 6;
      const double x = places[g].x_m / 1000 - 20 - east_km_h * hours;
      const double y = places[g].y_m / 1000 - 20 - north_km_h * hours;
      table.set(g, s, static_cast<float>(std::exp(-(x * x + y * y) / (width_km * width_km))));
    }
  return table;
}

Storm whole(const RainTable& table) {
  return {"", table.axis().span(), {0, table.step_count()}, false};
}

TEST(StormTrack, HasTheMotionOfEvenRainOfAnyWidth) {
  const auto places = support::jittered_grid(36, 8000, 5);
  for (const double width_km : {15.0, 60.0}) {
    const RainTable table = moving_bell(places, 30, 12, width_km);
    const StormTrack track = storm_track(places, table, whole(table));
    ASSERT_TRUE(track.motion.has_value()) << width_km;
    // A bell leaves the gauges off its line at the time it is nearest to them, so the plane runs
    // along the motion exactly.
    EXPECT_NEAR(track.motion->east_km_h, 30, 0.6) << width_km;
    EXPECT_NEAR(track.motion->north_km_h, 12, 0.6) << width_km;
    EXPECT_GT(track.motion->explained, 0.95);
    EXPECT_EQ(track.motion->towards(), "ENE");
  }
}

TEST(StormTrack, FollowsTheCentre) {
  const auto places = support::jittered_grid(100, 4000, 5);
  const RainTable table = moving_bell(places, 20, 0, 6);
  const StormTrack track = storm_track(places, table, whole(table));
  ASSERT_EQ(track.points.size(), 12U);
  const TrackPoint& middle = track.points[6];  // the hour after half time: 10 km on
  ASSERT_TRUE(middle.centre.has_value());
  EXPECT_NEAR(middle.centre->x_m, 30000, 1500);
  EXPECT_NEAR(middle.centre->y_m, 20000, 1500);
  EXPECT_GT(middle.wet, 20U);
}

TEST(StormTrack, IsMirroredWithTheNetwork) {
  const auto places = support::jittered_grid(36, 8000, 7);
  auto mirrored = places;
  for (MetricPoint& place : mirrored) place.x_m = -place.x_m;
  const RainTable table = moving_bell(places, 25, -14, 25);
  const StormTrack one = storm_track(places, table, whole(table));
  const StormTrack other = storm_track(mirrored, table, whole(table));
  ASSERT_TRUE(one.motion && other.motion);
  EXPECT_NEAR(one.motion->east_km_h, -other.motion->east_km_h, 1e-9);
  EXPECT_NEAR(one.motion->north_km_h, other.motion->north_km_h, 1e-9);
  EXPECT_NEAR(one.centre->x_m, -other.centre->x_m, 1e-6);
  EXPECT_EQ(one.motion->towards(), "ESE");
  EXPECT_EQ(other.motion->towards(), "WSW");
}

TEST(StormTrack, HasNoMotionWhereTheRainStands) {
  const auto places = support::jittered_grid(36, 8000, 5);
  RainTable table(StepAxis(Instant{}, std::chrono::minutes(10), kSteps), 36);
  for (std::size_t g = 0; g < 36; ++g)
    for (std::size_t s = 0; s < kSteps; ++s) table.set(g, s, s % 7 == g % 3 ? 1.0F : 0.0F);
  EXPECT_FALSE(storm_track(places, table, whole(table)).motion.has_value());
}

TEST(StormTrack, HasNoPlaceInADryHour) {
  const std::vector<MetricPoint> places = {{0, 0}, {1000, 0}};
  RainTable table(StepAxis(Instant{} + std::chrono::hours(1), std::chrono::hours(1), 2), 2);
  table.set(0, 0, 0);
  table.set(0, 1, 3);
  table.set(1, 1, 1);
  const StormTrack track = storm_track(places, table, whole(table));
  ASSERT_EQ(track.points.size(), 2U);
  EXPECT_FALSE(track.points[0].centre.has_value());
  EXPECT_EQ(track.points[0].mean_mm, 0);
  EXPECT_EQ(track.points[1].centre->x_m, 250);
  EXPECT_EQ(track.points[1].mean_mm, 2);
  EXPECT_EQ(track.points[1].wet, 2U);
  EXPECT_EQ(track.centre->x_m, 250);
  EXPECT_FALSE(track.motion.has_value());
}

TEST(StormMotion, NamesSixteenPointsOfTheCompass) {
  const std::pair<double, const char*> points[] = {
      {0, "N"},    {22.5, "NNE"},  {45, "NE"},  {67.5, "ENE"},  {90, "E"},   {112.5, "ESE"},
      {135, "SE"}, {157.5, "SSE"}, {180, "S"},  {202.5, "SSW"}, {225, "SW"}, {247.5, "WSW"},
      {270, "W"},  {292.5, "WNW"}, {315, "NW"}, {337.5, "NNW"}};
  for (const auto& [degrees, name] : points)
    for (const double off : {-11.0, 0.0, 11.0}) {
      const double angle = (degrees + off) * std::acos(-1.0) / 180;
      const StormMotion motion{30 * std::sin(angle), 30 * std::cos(angle), 1};
      EXPECT_EQ(motion.towards(), name) << degrees + off;
      EXPECT_NEAR(motion.speed_km_h(), 30, 1e-12);
    }
  EXPECT_EQ(StormMotion{}.towards(), "");
}

}  // namespace
}  // namespace gaugeloom
