#include "gaugeloom/checks/blocked.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kGauge = 12;

RainTable silenced(std::size_t first_day, std::size_t last_day, float depth_mm) {
  RainTable table = support::healthy_network().table;
  for (std::size_t i = support::day_step(first_day); i < support::day_step(last_day); ++i) {
    if (std::isnan(depth_mm)) {
      table.set_missing(kGauge, i);
    } else {
      table.set(kGauge, i, depth_mm);
    }
  }
  return table;
}

TEST(Blocked, CallsASilentGaugeWhileItsNeighboursAreWet) {
  const RainTable table = silenced(30, 60, 0);
  const CheckResult result = support::checked(table);
  const auto found = support::findings_of(result, kGauge, FindingKind::blocked);
  ASSERT_EQ(found.size(), 1U);
  const Finding& f = found.front();
  const Instant begin = table.axis().begin(support::day_step(30));
  EXPECT_EQ(f.tier, Tier::confirmed);
  EXPECT_LE(f.from, begin);  // from the last good tip on
  EXPECT_GE(*f.to, table.axis().begin(support::day_step(60)));
  EXPECT_GT(f.called, begin);
  EXPECT_LT(f.called, begin + std::chrono::hours(10 * 24));
  EXPECT_EQ(f.observed_mm, 0);
  EXPECT_GT(f.expected_mm, 40);
  EXPECT_GE(f.neighbours.size(), kLeastNeighbours);
  EXPECT_NE(f.reason.find("Not a tip"), std::string::npos);
  EXPECT_NE(f.reason.find(" km"), std::string::npos);
  EXPECT_FALSE(f.innocent_explanation.empty());
}

TEST(Blocked, CallsNobodyForSilenceInTheCold) {
  RainRecord record;
  record.depths = silenced(30, 60, 0);
  // Hourly frost at that gauge alone while it is silent, and a mild day before and after.
  const Instant begin = record.depths.axis().begin(support::day_step(29));
  for (int hour = 0; hour < 32 * 24; ++hour) {
    const bool frost = hour >= 24 && hour < 31 * 24;
    record.temperatures.push_back({begin + std::chrono::hours(hour), kGauge, frost ? -1.0 : 8.0});
  }
  const CheckResult result = check_network(support::healthy_network().network, record);
  EXPECT_TRUE(support::findings_of(result, kGauge, FindingKind::blocked).empty());
  EXPECT_EQ(result.quality.at(kGauge, support::day_step(45)), Quality::unchecked);
  EXPECT_EQ(result.quality.at(kGauge + 1, support::day_step(45)), Quality::good);
}

TEST(Blocked, LeavesItsNeighboursAlone) {
  EXPECT_EQ(support::findings_elsewhere(support::checked(silenced(30, 60, 0)), kGauge), 0U);
}

TEST(Blocked, LastsWhileTheGaugeIsSilent) {
  const auto found =
      support::findings_of(support::checked(silenced(40, 90, 0)), kGauge, FindingKind::blocked);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_FALSE(found.front().to.has_value());
}

TEST(Blocked, TakesMissingForNeitherWetNorDry) {
  const CheckResult result = support::checked(silenced(30, 60, std::nanf("")));
  EXPECT_TRUE(support::findings_of(result, kGauge, FindingKind::blocked).empty());
}

TEST(Blocked, SaysHowMuchWouldHaveGoneUnseen) {
  const CheckResult& result = support::checked_healthy();
  for (const GaugeSummary& gauge : result.gauges) {
    EXPECT_GE(gauge.smallest_block_mm, 2);   // what the check asks for at least
    EXPECT_LT(gauge.smallest_block_mm, 40);  // a month's rain here
  }
}

}  // namespace
}  // namespace gaugeloom
