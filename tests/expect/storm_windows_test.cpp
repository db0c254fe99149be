#include "gaugeloom/expect/storm_windows.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/expect/gathered_depths.hpp"
#include "support/synthetic_rain.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kStepsPerHour = 12;

RainTable dry_days(std::size_t gauges, std::size_t days) {
  const StepAxis axis(Instant{} + std::chrono::minutes(5), std::chrono::minutes(5), 288 * days);
  return {axis, gauges, std::vector<float>(gauges * axis.count(), 0)};
}

support::SyntheticRain fine_rain() {
  support::SyntheticRainOptions options;
  options.gauges = 12;
  options.steps = 30 * 288;
  options.step = std::chrono::minutes(5);
  return support::synthetic_rain(options);
}

TEST(StormWindows, GatherTipsThatMissEachOther) {
  RainTable table = dry_days(20, 2);
  // Three of twenty gauges, at three steps of one hour: no step is wet at more than a tenth.
  for (std::size_t g = 0; g < 3; ++g) table.set(g, 36 + 4 * g, 0.2F);
  EXPECT_TRUE(storm_spells(table).empty());
  const auto windows = storm_windows(table);
  ASSERT_EQ(windows.size(), 1U);
  EXPECT_EQ(windows[0].first, 36U);
  EXPECT_EQ(windows[0].last, 48U);
}

TEST(StormWindows, ArePartedByTheDryGap) {
  RainTable table = dry_days(1, 2);
  table.set(0, 0, 1);                   // hour 0
  table.set(0, 6 * kStepsPerHour, 1);   // hour 6: five dry hours between
  table.set(0, 13 * kStepsPerHour, 1);  // hour 13: six
  const auto windows = storm_windows(table);
  ASSERT_EQ(windows.size(), 2U);
  EXPECT_EQ(windows[0].last, 7 * kStepsPerHour);
  EXPECT_EQ(windows[1].first, 13 * kStepsPerHour);
  EXPECT_EQ(windows[1].last, 14 * kStepsPerHour);
  EXPECT_EQ(storm_windows(table, {std::chrono::hours(5), 0.9}).size(), 3U);
}

TEST(StormWindows, HoldEveryWetHour) {
  const support::SyntheticRain rain = fine_rain();
  const auto windows = storm_windows(rain.table);
  ASSERT_GT(windows.size(), 5U);
  for (std::size_t i = 1; i < windows.size(); ++i)
    EXPECT_GE(windows[i].first, windows[i - 1].last + 6 * kStepsPerHour);
  const RainTable hours = gathered_depths(rain.table, std::chrono::hours(1));
  const auto hour_of = window_of_step(rain.table.axis(), hours.axis());
  for (std::size_t s = 0; s < rain.table.step_count(); ++s) {
    std::size_t wet = 0;
    for (std::size_t g = 0; g < hours.gauge_count(); ++g)
      wet += hours.depth_mm(g, hour_of[s]) > 0 ? 1U : 0U;
    const bool inside = std::any_of(windows.begin(), windows.end(),
                                    [s](StepAxis::Range w) { return w.first <= s && s < w.last; });
    EXPECT_TRUE(inside || wet <= hours.gauge_count() / 10) << s;
  }
}

TEST(StormWindows, DoNotDependOnTheOrderOfTheGauges) {
  const support::SyntheticRain rain = fine_rain();
  RainTable turned(rain.table.axis(), rain.table.gauge_count());
  for (std::size_t g = 0; g < turned.gauge_count(); ++g)
    for (std::size_t s = 0; s < turned.step_count(); ++s)
      turned.set(g, s, rain.table.depth_mm(turned.gauge_count() - 1 - g, s));
  const auto one = storm_windows(rain.table);
  const auto other = storm_windows(turned);
  ASSERT_EQ(one.size(), other.size());
  for (std::size_t i = 0; i < one.size(); ++i) {
    EXPECT_EQ(one[i].first, other[i].first);
    EXPECT_EQ(one[i].last, other[i].last);
  }
}

TEST(StormWindows, TakeLongStepsAsTheyAre) {
  const StepAxis days(Instant{} + std::chrono::hours(24), std::chrono::hours(24), 4);
  const auto windows = storm_windows(RainTable(days, 1, {1, 1, 0, 2}));
  ASSERT_EQ(windows.size(), 2U);
  EXPECT_EQ(windows[0].last, 2U);
  EXPECT_EQ(windows[1].first, 3U);
}

TEST(StormWindows, RefuseAGapOfNothing) {
  EXPECT_THROW(storm_windows(dry_days(1, 1), {std::chrono::seconds(0), 0.9}), Error);
}

}  // namespace
}  // namespace gaugeloom
