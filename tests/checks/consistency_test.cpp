#include "gaugeloom/checks/consistency.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "gaugeloom/checks/check_network.hpp"
#include "support/synthetic_rain.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kHours = 120 * 24;

support::SyntheticRain rain_of_four_months() {
  support::SyntheticRainOptions options;
  options.gauges = 20;
  options.step = std::chrono::hours(1);
  options.steps = kHours;
  options.seed = 77;
  return support::synthetic_rain(options);
}

CheckResult checked(const support::SyntheticRain& rain, int threads = 1) {
  RainRecord record;
  record.depths = rain.table;
  CheckOptions options;
  options.threads = threads;
  return check_network(rain.network, record, options);
}

TEST(Consistency, HasARowForEveryGaugeStormAndMonth) {
  const auto rain = rain_of_four_months();
  const CheckResult result = checked(rain);
  std::size_t storms = 0;
  std::size_t months = 0;
  for (const ConsistencyRow& row : result.consistency) {
    ++(row.window == WindowKind::storm ? storms : months);
    EXPECT_LE(row.low_mm, row.high_mm);
    EXPECT_NEAR(row.p_low + row.p_high, 1, 1e-9);
    EXPECT_GT(row.combined_p, 0);
    EXPECT_LE(row.combined_p, 1);
    EXPECT_GE(row.neighbours, kLeastNeighbours);
  }
  // May to August: the first end is 1 May 00:00, so an hour of April too.
  EXPECT_EQ(months, 20U * 5);
  EXPECT_GT(storms, 20U * 20);
  EXPECT_EQ(storms % 20, 0U);
}

TEST(Consistency, BoundsHoldOnTheRecordItself) {
  const auto rain = rain_of_four_months();
  double held = 0, rows = 0, low = 0;
  for (const ConsistencyRow& row : checked(rain).consistency) {
    if (row.window != WindowKind::storm) continue;
    rows += 1;
    if (row.observed_mm >= row.low_mm && row.observed_mm <= row.high_mm) held += 1;
    if (row.combined_p < 0.05) low += 1;
  }
  EXPECT_GE(held / rows, 0.87);
  EXPECT_LE(held / rows, 0.94);
  EXPECT_LE(low / rows, 0.10);
}

TEST(Consistency, SeesASilentStormAndSaysWhatDroveIt) {
  auto rain = rain_of_four_months();
  const auto healthy = checked(rain).consistency;
  const auto wettest = std::max_element(
      healthy.begin(), healthy.end(), [](const ConsistencyRow& a, const ConsistencyRow& b) {
        return (a.gauge == 3 && a.window == WindowKind::storm ? a.expected_mm : 0) <
               (b.gauge == 3 && b.window == WindowKind::storm ? b.expected_mm : 0);
      });
  const auto steps = rain.table.axis().within(wettest->over);
  for (std::size_t step = steps.first; step < steps.last; ++step) rain.table.set(3, step, 0);
  const auto rows = checked(rain).consistency;
  const auto row = std::find_if(rows.begin(), rows.end(), [&](const ConsistencyRow& r) {
    return r.gauge == 3 && r.over == wettest->over;
  });
  ASSERT_NE(row, rows.end());
  EXPECT_EQ(row->observed_mm, 0);
  EXPECT_GT(row->low_mm, 0);
  EXPECT_LT(row->p_low, 0.01);
  EXPECT_LT(row->combined_p, 0.02);
}

TEST(Consistency, SaysNothingOfAGaugeThatWasNotMeasured) {
  auto rain = rain_of_four_months();
  for (std::size_t step = 0; step < kHours; ++step) rain.table.set_missing(4, step);
  for (std::size_t step = 0; step < kHours; step += 2) rain.table.set_missing(5, step);
  for (const ConsistencyRow& row : checked(rain).consistency) {
    EXPECT_NE(row.gauge, 4U);
    if (row.gauge == 5 && row.window == WindowKind::month && row.over.length() > Duration(1)) {
      EXPECT_LE(row.share_measured, 0.51);
    }
  }
}

TEST(Consistency, DoesNotHangOnTheThreads) {
  const auto rain = rain_of_four_months();
  const auto one = checked(rain, 1).consistency;
  const auto three = checked(rain, 3).consistency;
  ASSERT_EQ(one.size(), three.size());
  for (std::size_t i = 0; i < one.size(); ++i) {
    EXPECT_EQ(one[i].combined_p, three[i].combined_p);
    EXPECT_EQ(one[i].low_mm, three[i].low_mm);
  }
}

TEST(Consistency, StandsRecordsOfDaysAndEmptyOnes) {
  support::SyntheticRainOptions options;
  options.gauges = 6;
  options.step = std::chrono::hours(24);
  options.steps = 90;
  const CheckResult result = checked(support::synthetic_rain(options));
  for (const ConsistencyRow& row : result.consistency) EXPECT_EQ(row.window, WindowKind::month);
  EXPECT_EQ(result.consistency.size(), 6U * 4);
  options.steps = 1;
  EXPECT_NO_THROW(checked(support::synthetic_rain(options)));
}

}  // namespace
}  // namespace gaugeloom
