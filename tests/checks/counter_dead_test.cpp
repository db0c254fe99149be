#include "gaugeloom/checks/counter_dead.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kGauge = 12;
constexpr std::size_t kHour = 4;  // steps

const RainTable& healthy() { return support::healthy_network().table; }

// The first step at or after `from` at which the gauge reads at least 1 mm an hour before and
// after, so that the cut lies in mid-storm.
std::size_t mid_storm(std::size_t gauge, std::size_t from) {
  for (std::size_t i = from; i + kHour < healthy().step_count(); ++i)
    if (window_sum(healthy(), gauge, i - kHour, i) >= 2 &&
        window_sum(healthy(), gauge, i, i + kHour) >= 2)
      return i;
  return healthy().step_count();
}

std::size_t dry_moment(std::size_t gauge, std::size_t from) {
  while (window_sum(healthy(), gauge, from - 6 * kHour, from + 6 * kHour) > 0) ++from;
  return from;
}

void silence(RainTable& table, std::size_t gauge, std::size_t first, std::size_t last) {
  for (std::size_t i = first; i < last; ++i) table.set(gauge, i, 0);
}

TEST(CounterDead, CallsASilenceThatBeginsAndEndsInMidStorm) {
  RainTable table = healthy();
  const std::size_t first = mid_storm(kGauge, support::day_step(30));
  const std::size_t last = mid_storm(kGauge, first + 8 * 96);
  ASSERT_LT(last, table.step_count());
  silence(table, kGauge, first, last);
  const CheckResult result = support::checked(table);
  const auto found = support::findings_of(result, kGauge, FindingKind::counter_dead);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_LE(found.front().from, table.axis().begin(first));
  EXPECT_GE(found.front().from, table.axis().begin(first - 2));
  EXPECT_GE(found.front().to, table.axis().begin(last));
  EXPECT_LE(found.front().to, table.axis().begin(last + 2));
  EXPECT_NE(found.front().reason.find("right again at once"), std::string::npos);
  EXPECT_TRUE(support::findings_of(result, kGauge, FindingKind::blocked).empty());
}

TEST(CounterDead, CallsGaugesThatFallSilentAndComeBackTogether) {
  RainTable table = healthy();
  const std::size_t first = dry_moment(3, support::day_step(30));
  const std::size_t last = dry_moment(3, support::day_step(42));
  for (const std::size_t gauge : {3U, 17U, 26U}) silence(table, gauge, first, last);
  const CheckResult result = support::checked(table);
  for (const std::size_t gauge : {3U, 17U, 26U}) {
    const auto found = support::findings_of(result, gauge, FindingKind::counter_dead);
    ASSERT_EQ(found.size(), 1U) << gauge;
    EXPECT_NE(found.front().reason.find("came back at the same times"), std::string::npos);
  }
}

TEST(CounterDead, LeavesASilenceBetweenDryHoursBlocked) {
  RainTable table = healthy();
  silence(table, kGauge, dry_moment(kGauge, support::day_step(30)),
          dry_moment(kGauge, support::day_step(45)));
  const CheckResult result = support::checked(table);
  EXPECT_TRUE(support::findings_of(result, kGauge, FindingKind::counter_dead).empty());
  const auto found = support::findings_of(result, kGauge, FindingKind::blocked);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_NE(found.front().innocent_explanation.find("counter"), std::string::npos);
}

// On healthy networks holes in a storm were named so: a hole also begins and ends in mid-storm,
// with the right rain before and after.
TEST(CounterDead, LeavesASilenceInOneStormBlocked) {
  std::size_t told = 0;
  for (std::size_t gauge = 0; gauge < healthy().gauge_count(); gauge += 5) {
    RainTable table = healthy();
    std::size_t first = mid_storm(gauge, kHour);
    std::size_t last = mid_storm(gauge, first + 4 * kHour);
    while (last < healthy().step_count() && last - first > 24 * kHour) {
      first = last;
      last = mid_storm(gauge, first + 4 * kHour);
    }
    if (last == healthy().step_count()) continue;
    silence(table, gauge, first, last);
    const CheckResult result = support::checked(table);
    EXPECT_TRUE(support::findings_of(result, gauge, FindingKind::counter_dead).empty()) << gauge;
    told += support::findings_of(result, gauge, FindingKind::blocked).size();
  }
  EXPECT_GT(told, 0U);
}

TEST(CounterDead, LeavesABlockThatLetsItsWaterGoBlocked) {
  RainTable table = healthy();
  const std::size_t first = mid_storm(kGauge, support::day_step(30));
  const std::size_t last = mid_storm(kGauge, first + 8 * 96);
  const double held = window_sum(table, kGauge, first, last);
  silence(table, kGauge, first, last);
  for (std::size_t i = last; i < last + 2; ++i)
    table.set(kGauge, i, table.depth_mm(kGauge, i) + static_cast<float>(held / 2));
  const CheckResult result = support::checked(table);
  EXPECT_TRUE(support::findings_of(result, kGauge, FindingKind::counter_dead).empty());
  EXPECT_EQ(support::findings_of(result, kGauge, FindingKind::blocked).size(), 1U);
}

}  // namespace
}  // namespace gaugeloom
