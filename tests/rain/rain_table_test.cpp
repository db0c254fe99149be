#include "gaugeloom/rain/rain_table.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

StepAxis hourly(std::size_t count) {
  return StepAxis(parse_iso8601("2024-01-01T01:00Z")->utc(), std::chrono::hours{1}, count);
}

TEST(RainTable, KeepsMissingApartFromZero) {
  RainTable table(hourly(70), 2);
  EXPECT_FALSE(table.is_measured(1, 69));
  EXPECT_TRUE(std::isnan(table.depth_mm(1, 69)));
  table.set(1, 69, 0.0F);
  EXPECT_TRUE(table.is_measured(1, 69));
  EXPECT_EQ(table.measured_bits(1)[1], std::uint64_t{1} << 5);
  table.set_missing(1, 69);
  EXPECT_FALSE(table.is_measured(1, 69));
  EXPECT_TRUE(std::isnan(table.depth_mm(1, 69)));
}

TEST(RainTable, TakesItsFlagsFromTheValues) {
  const RainTable table(hourly(2), 2, {0.0F, std::nanf(""), 1.5F, 0.2F});
  EXPECT_TRUE(table.is_measured(0, 0));
  EXPECT_FALSE(table.is_measured(0, 1));
  EXPECT_TRUE(table.is_measured(1, 1));
}

TEST(RainTable, SumsAreMissingWhenAnyStepIs) {
  const RainTable table(hourly(5), 1, {1.0F, 2.0F, std::nanf(""), 4.0F, 5.0F});
  const RainTable pairs = sums(table, 2);
  ASSERT_EQ(pairs.step_count(), 2U);
  EXPECT_EQ(pairs.depth_mm(0, 0), 3.0F);
  EXPECT_FALSE(pairs.is_measured(0, 1));
  EXPECT_EQ(format_utc(pairs.axis().end(0)), "2024-01-01T02:00:00Z");
  EXPECT_EQ(window_sum(table, 0, 3, 5), 9.0);
  EXPECT_TRUE(std::isnan(window_sum(table, 0, 1, 4)));
  EXPECT_EQ(slice(table, 3, 5).depth_mm(0, 1), 5.0F);
}

}  // namespace
}  // namespace gaugeloom
