#include "gaugeloom/rain/storm_spells.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <limits>

#include "gaugeloom/core/error.hpp"
#include "support/synthetic_rain.hpp"

namespace gaugeloom {
namespace {

constexpr float kMissing = std::numeric_limits<float>::quiet_NaN();
const Instant kBegin = std::chrono::sys_days{std::chrono::year{2021} / 3 / 4};

Instant hour(int h) { return kBegin + std::chrono::hours(h); }

RainTable hourly(std::size_t gauges, const std::vector<float>& values) {
  return {StepAxis(hour(1), std::chrono::hours(1), values.size() / gauges), gauges, values};
}

TEST(StormSpells, EndAfterSixDryHours) {
  //                          0  1  2  3  4  5  6  7  8  9 10 11 12 13
  const auto table = hourly(1, {0, 1, 0, 0, 0, 0, 0, 2, 0, 0, 0, 0, 0, 0});
  const auto one = storm_spells(table);
  ASSERT_EQ(one.size(), 1U);
  EXPECT_EQ(one[0].over, (Interval{hour(1), hour(8)}));
  EXPECT_DOUBLE_EQ(one[0].mean_depth_mm, 3);
  const auto two = storm_spells(hourly(1, {1, 0, 0, 0, 0, 0, 0, 2}));
  ASSERT_EQ(two.size(), 2U);
  EXPECT_EQ(two[0].over, (Interval{hour(0), hour(1)}));
  EXPECT_EQ(two[1].over, (Interval{hour(7), hour(8)}));
}

TEST(StormSpells, CountOnlyGaugesThatSaidAnything) {
  const auto table = hourly(2, {4, 0, kMissing, kMissing});
  const auto storms = storm_spells(table);
  ASSERT_EQ(storms.size(), 1U);
  EXPECT_DOUBLE_EQ(storms[0].mean_depth_mm, 4);
}

TEST(StormSpells, PassOverAWetGaugeAmongManyDryOnes) {
  std::vector<float> values(10, 0);
  values[3] = 5;
  EXPECT_TRUE(storm_spells(hourly(10, values)).empty());
  values[7] = 5;
  EXPECT_EQ(storm_spells(hourly(10, values)).size(), 1U);
}

TEST(StormSpells, AreNoneInADryOrSilentRecord) {
  EXPECT_TRUE(storm_spells(hourly(1, {0, 0, kMissing})).empty());
  EXPECT_TRUE(storm_spells(RainTable()).empty());
}

TEST(StormSpells, RefuseImpossibleOptions) {
  StormSpellOptions options;
  options.dry_share = 0;
  EXPECT_THROW(storm_spells(RainTable(), options), Error);
  options = {};
  options.dry_gap = std::chrono::seconds(0);
  EXPECT_THROW(storm_spells(RainTable(), options), Error);
}

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
  options.first_end += options.step;  // so that the record begins with an hour
  return support::synthetic_rain(options);
}

TEST(StormSpells, GatherTipsThatMissEachOther) {
  RainTable table = dry_days(20, 2);
  // Three of twenty gauges, at three steps of one hour: no step is wet at more than a tenth.
  for (std::size_t g = 0; g < 3; ++g) table.set(g, 36 + 4 * g, 0.2F);
  const auto storms = storm_spells(table);
  ASSERT_EQ(storms.size(), 1U);
  EXPECT_EQ(storms[0].steps.first, 36U);
  EXPECT_EQ(storms[0].steps.last, 48U);
}

TEST(StormSpells, ArePartedByTheDryGap) {
  RainTable table = dry_days(1, 2);
  table.set(0, 0, 1);                   // hour 0
  table.set(0, 6 * kStepsPerHour, 1);   // hour 6: five dry hours between
  table.set(0, 13 * kStepsPerHour, 1);  // hour 13: six
  const auto storms = storm_spells(table);
  ASSERT_EQ(storms.size(), 2U);
  EXPECT_EQ(storms[0].steps.last, 7 * kStepsPerHour);
  EXPECT_EQ(storms[1].steps.first, 13 * kStepsPerHour);
  EXPECT_EQ(storms[1].steps.last, 14 * kStepsPerHour);
  EXPECT_EQ(storm_spells(table, {std::chrono::hours(5), 0.9}).size(), 3U);
}

TEST(StormSpells, HoldEveryWetHour) {
  const support::SyntheticRain rain = fine_rain();
  const auto storms = storm_spells(rain.table);
  ASSERT_GT(storms.size(), 5U);
  for (std::size_t i = 1; i < storms.size(); ++i)
    EXPECT_GE(storms[i].steps.first, storms[i - 1].steps.last + 6 * kStepsPerHour);
  for (std::size_t s = 0; s < rain.table.step_count(); ++s) {
    std::size_t wet = 0;
    const std::size_t first = s - s % kStepsPerHour;
    for (std::size_t g = 0; g < rain.table.gauge_count(); ++g) {
      const auto row = rain.table.row(g).subspan(first, kStepsPerHour);
      wet += std::any_of(row.begin(), row.end(), [](float mm) { return mm > 0; }) ? 1U : 0U;
    }
    const bool inside = std::any_of(storms.begin(), storms.end(), [s](const StormSpell& w) {
      return w.steps.first <= s && s < w.steps.last;
    });
    EXPECT_TRUE(inside || wet <= rain.table.gauge_count() / 10) << s;
  }
}

TEST(StormSpells, DoNotDependOnTheOrderOfTheGauges) {
  const support::SyntheticRain rain = fine_rain();
  RainTable turned(rain.table.axis(), rain.table.gauge_count());
  for (std::size_t g = 0; g < turned.gauge_count(); ++g)
    for (std::size_t s = 0; s < turned.step_count(); ++s)
      turned.set(g, s, rain.table.depth_mm(turned.gauge_count() - 1 - g, s));
  const auto one = storm_spells(rain.table);
  const auto other = storm_spells(turned);
  ASSERT_EQ(one.size(), other.size());
  for (std::size_t i = 0; i < one.size(); ++i) {
    EXPECT_EQ(one[i].steps.first, other[i].steps.first);
    EXPECT_EQ(one[i].steps.last, other[i].steps.last);
  }
}

TEST(StormSpells, TakeLongStepsAsTheyAre) {
  const StepAxis days(Instant{} + std::chrono::hours(24), std::chrono::hours(24), 4);
  const auto storms = storm_spells(RainTable(days, 1, {1, 1, 0, 2}));
  ASSERT_EQ(storms.size(), 2U);
  EXPECT_EQ(storms[0].steps.last, 2U);
  EXPECT_EQ(storms[1].steps.first, 3U);
}

TEST(StormSpells, RunUntilTheDryGapHasPassed) {
  EXPECT_TRUE(storm_spells(hourly(1, {0, 3, 0, 0, 0, 0, 0}))[0].running);
  EXPECT_FALSE(storm_spells(hourly(1, {0, 3, 0, 0, 0, 0, 0, 0}))[0].running);
  const auto two = storm_spells(hourly(1, {1, 0, 0, 0, 0, 0, 0, 2}));
  EXPECT_FALSE(two[0].running);
  EXPECT_TRUE(two[1].running);
}

// Every beginning of the record, one step longer each time, at steps that do and do not fill hours.
TEST(StormSpells, ThatHaveEndedStayAsTheRecordGrows) {
  for (const int minutes : {10, 7, 90}) {
    support::SyntheticRainOptions made;
    made.gauges = 9;
    made.step = std::chrono::minutes(minutes);
    made.steps = static_cast<std::size_t>(20 * 24 * 60 / minutes);
    const RainTable whole = support::synthetic_rain(made).table;
    for (const int gap_minutes : {360, 150}) {
      const StormSpellOptions options{std::chrono::minutes(gap_minutes), 0.9};
      const auto all = storm_spells(whole, options);
      ASSERT_GT(all.size(), 4U);
      std::size_t ended = 0;
      for (std::size_t steps = 1; steps <= whole.step_count(); steps += 3) {
        const auto some = storm_spells(slice(whole, 0, steps), options);
        for (std::size_t i = 0; i < some.size(); ++i) {
          if (some[i].running) continue;
          ++ended;
          ASSERT_EQ(some[i].over, all[i].over) << minutes << " min, " << steps;
          ASSERT_EQ(some[i].mean_depth_mm, all[i].mean_depth_mm);
        }
      }
      EXPECT_GT(ended, 100U);
    }
  }
}

}  // namespace
}  // namespace gaugeloom
