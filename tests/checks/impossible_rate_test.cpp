#include "gaugeloom/checks/impossible_rate.hpp"

#include <gtest/gtest.h>

#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kGauge = 12;
constexpr std::size_t kStep = 5000;

// Published: World Meteorological Organization, Archive of Weather and Climate Extremes (1 min, 60
// min, 24 h, 48 h, 72 h, 96 h); 15 min at Plumb Point.
TEST(ImpossibleRate, KnowsTheWorldRecords) {
  EXPECT_NEAR(world_record_mm(1.0 / 60), 31.2, 1e-9);  // rounding of exp and log only
  EXPECT_NEAR(world_record_mm(0.25), 198.1, 1e-9);
  EXPECT_NEAR(world_record_mm(1), 305, 1e-9);
  EXPECT_NEAR(world_record_mm(24), 1825, 1e-9);
  EXPECT_NEAR(world_record_mm(48), 2493, 1e-8);
  EXPECT_NEAR(world_record_mm(72), 3929, 1e-8);
  EXPECT_NEAR(world_record_mm(96), 4869, 1e-8);
}

TEST(ImpossibleRate, NeverFallsWithTheDuration) {
  for (double hours = 0.02; hours < 200; hours *= 1.1) {
    EXPECT_LE(world_record_mm(hours), world_record_mm(hours * 1.1));
  }
}

TEST(ImpossibleRate, ConfirmsOneStepBeyondTheRecord) {
  RainTable table = support::healthy_network().table;
  table.set(kGauge, kStep, 400);  // in 15 minutes
  const CheckResult result = support::checked(table);
  const auto found = support::findings_of(result, kGauge, FindingKind::impossible_rate);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found.front().tier, Tier::confirmed);
  EXPECT_EQ(found.front().from, table.axis().begin(kStep));
  EXPECT_EQ(found.front().to, table.axis().end(kStep));
  EXPECT_EQ(result.quality.at(kGauge, kStep), Quality::poor);
  EXPECT_EQ(result.quality.at(kGauge, kStep + 10), Quality::good);
  EXPECT_EQ(support::findings_elsewhere(result, kGauge), 0U);
}

TEST(ImpossibleRate, SeesAnHourThatNoStepGivesAway) {
  RainTable table = support::healthy_network().table;
  for (std::size_t i = kStep; i < kStep + 4; ++i) table.set(kGauge, i, 90);  // 360 mm in an hour
  const auto found =
      support::findings_of(support::checked(table), kGauge, FindingKind::impossible_rate);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_DOUBLE_EQ(found.front().observed_mm, 360);
}

TEST(ImpossibleRate, HoldsAGaugeAgainstItsOwnRating) {
  support::SyntheticRain rain = support::healthy_network();
  rain.network.gauges[kGauge].max_rate_mm_h = 200;
  rain.table.set(kGauge, kStep, 60);  // 240 mm/h
  RainRecord record;
  record.depths = rain.table;
  const auto found = support::findings_of(check_network(rain.network, record), kGauge,
                                          FindingKind::impossible_rate);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found.front().tier, Tier::provisional);
}

}  // namespace
}  // namespace gaugeloom
