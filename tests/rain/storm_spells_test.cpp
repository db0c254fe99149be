#include "gaugeloom/rain/storm_spells.hpp"

#include <gtest/gtest.h>

#include <limits>

#include "gaugeloom/core/error.hpp"

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
  EXPECT_FALSE(wettest_storm(hourly(1, {0, 0, 0})).has_value());
}

TEST(StormSpells, GiveTheWettestAndTheFirstOfEquals) {
  std::vector<float> values(30, 0);
  values[0] = 1;
  values[10] = 3;
  values[20] = 3;
  const auto wettest = wettest_storm(hourly(1, values));
  ASSERT_TRUE(wettest.has_value());
  EXPECT_EQ(wettest->over.from, hour(10));
}

TEST(StormSpells, RefuseImpossibleOptions) {
  StormSpellOptions options;
  options.dry_share = 0;
  EXPECT_THROW(storm_spells(RainTable(), options), Error);
  options = {};
  options.dry_gap = std::chrono::seconds(0);
  EXPECT_THROW(storm_spells(RainTable(), options), Error);
}

}  // namespace
}  // namespace gaugeloom
