#include "gaugeloom/expect/judged_windows.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

using Ranges = std::vector<std::pair<std::size_t, std::size_t>>;

RainTable table_from(const char* first_end, std::chrono::seconds step, std::size_t steps,
                     std::size_t gauges = 1, float depth_mm = 0) {
  return RainTable(StepAxis(parse_iso8601(first_end)->utc(), step, steps), gauges,
                   std::vector<float>(steps * gauges, depth_mm));
}

Ranges ranges(WindowKind kind, const RainTable& table) {
  Ranges out;
  for (const auto& [first, last] : windows_of(kind, table)) out.emplace_back(first, last);
  return out;
}

TEST(JudgedWindows, BeginAtWholeMultiplesInUtc) {
  const RainTable rain = table_from("2024-02-28T23:00:00Z", std::chrono::hours(1), 10);
  EXPECT_EQ(ranges(WindowKind::hour, rain).size(), 10U);
  EXPECT_EQ(ranges(WindowKind::six_hours, rain), (Ranges{{0, 2}, {2, 8}, {8, 10}}));
  EXPECT_EQ(ranges(WindowKind::day, rain), (Ranges{{0, 2}, {2, 10}}));
  EXPECT_TRUE(ranges(WindowKind::storm, rain).empty());
}

TEST(JudgedWindows, BeginAtWholeMultiplesBefore1970) {
  const RainTable rain = table_from("1969-12-31T18:00:00Z", std::chrono::hours(1), 10);
  EXPECT_EQ(ranges(WindowKind::day, rain), (Ranges{{0, 7}, {7, 10}}));
}

TEST(JudgedWindows, FollowTheCalendarInLeapYears) {
  const RainTable rain = table_from("2024-02-02T00:00:00Z", std::chrono::hours(24), 60);
  EXPECT_EQ(ranges(WindowKind::month, rain), (Ranges{{0, 29}, {29, 60}}));
  EXPECT_TRUE(ranges(WindowKind::six_hours, rain).empty());  // shorter than a step
  EXPECT_EQ(ranges(WindowKind::day, rain).size(), 60U);
}

TEST(JudgedWindows, HoldStorms) {
  RainTable rain = table_from("2024-03-01T01:00:00Z", std::chrono::hours(1), 48);
  for (const std::size_t wet : {3U, 5U, 30U}) rain.set(0, wet, 1);
  EXPECT_EQ(ranges(WindowKind::storm, rain), (Ranges{{3, 6}, {30, 31}}));
}

struct Ground {
  Network network;
  RainTable depths;
  Neighbourhoods around;
  ExpectedDepths expected;
  Exclusions excluded;
  std::vector<double> ratios;

  // Five gauges on a line, a day of hours, one depth each and everywhere.
  Ground() : depths(table_from("2024-06-01T01:00:00Z", std::chrono::hours(1), 24, 5, 0.5F)) {
    for (int i = 0; i < 5; ++i) {
      Gauge gauge;
      gauge.id = std::string(1, static_cast<char>('A' + i));
      gauge.position = {1000.0 * i, 0};
      network.gauges.push_back(gauge);
    }
    ratios.assign(5, 1.0);
    around = neighbourhoods(network);
    excluded = Exclusions(5, 24);
  }
  JudgedWindow day(std::size_t gauge) {
    SiteRatios sites(5);
    sites.ratio = ratios;
    expected = expected_depths(depths, around, sites, excluded, 1);
    const JudgedWindows windows({network, depths, expected, excluded, around, ratios},
                                windows_of(WindowKind::day, depths));
    return windows.at(gauge, 0);
  }
};

TEST(JudgedWindows, SumWhatWasReadAndExpectedOverTheSameSteps) {
  Ground ground;
  for (std::size_t hour = 0; hour < 6; ++hour) ground.depths.set_missing(2, hour);
  const JudgedWindow day = ground.day(2);
  EXPECT_DOUBLE_EQ(day.observed_mm, 9);
  EXPECT_DOUBLE_EQ(day.expected_mm, 9);
  EXPECT_DOUBLE_EQ(day.usable_share, 0.75);
  EXPECT_EQ(day.neighbours, 4U);
  EXPECT_DOUBLE_EQ(day.wet_share, 1);
  EXPECT_NEAR(day.patchiness, 0, 1e-6);  // alike; a root of rounding
  EXPECT_EQ(day.half_year, 0U);
  EXPECT_TRUE(day.accepted);
}

TEST(JudgedWindows, SeeHowUnlikeTheNeighboursAre) {
  Ground ground;
  for (std::size_t hour = 0; hour < 24; ++hour) ground.depths.set(4, hour, 0);
  const JudgedWindow day = ground.day(2);
  EXPECT_LT(day.wet_share, 1);
  EXPECT_GT(day.wet_share, 0.5);
  EXPECT_GT(day.patchiness, 0.5);
  Ground twice;
  twice.ratios = {2, 1, 1, 1, 1};  // what A reads, it always reads twice
  EXPECT_GT(twice.day(2).patchiness, 0.1);
}

TEST(JudgedWindows, LeaveOutExcludedNeighboursWhileThreeAreLeft) {
  Ground ground;
  for (std::size_t hour = 0; hour < 24; ++hour) ground.depths.set(4, hour, 0);
  ground.excluded.set(4, 10, 11);
  const JudgedWindow without = ground.day(2);
  EXPECT_EQ(without.neighbours, 3U);
  EXPECT_DOUBLE_EQ(without.wet_share, 1);
  EXPECT_FALSE(ground.day(4).accepted);
  ground.excluded.set(3, 10, 11);
  EXPECT_EQ(ground.day(2).neighbours, 4U);
}

TEST(JudgedWindows, TakeTheMeanOfThoseThatSaidAnything) {
  Ground ground;
  for (std::size_t hour = 0; hour < 24; ++hour) ground.depths.set_missing(0, hour);
  for (std::size_t hour = 0; hour < 24; ++hour) ground.depths.set(1, hour, 1.5F);
  ground.day(2);
  const JudgedWindows windows({ground.network, ground.depths, ground.expected, ground.excluded,
                               ground.around, ground.ratios},
                              windows_of(WindowKind::day, ground.depths));
  EXPECT_DOUBLE_EQ(windows.mean_observed_mm(0), (36 + 3 * 12) / 4.0);
  EXPECT_TRUE(std::isfinite(windows.at(0, 0).expected_mm));
  EXPECT_EQ(windows.at(0, 0).usable_share, 0);
}

}  // namespace
}  // namespace gaugeloom
