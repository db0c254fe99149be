#include "gaugeloom/expect/gathered_depths.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace gaugeloom {
namespace {

const Instant kDay = std::chrono::sys_days{std::chrono::year{2024} / 2 / 29};
constexpr std::chrono::minutes kQuarter{15};

TEST(GatheredDepths, SumsTheStepsOfEachHour) {
  RainTable table(StepAxis(kDay + kQuarter, kQuarter, 8), 1);
  for (std::size_t i = 0; i < 8; ++i) table.set(0, i, static_cast<float>(i));
  const RainTable hours = gathered_depths(table, std::chrono::hours(1));
  ASSERT_EQ(hours.step_count(), 2U);
  EXPECT_EQ(hours.axis().end(0), kDay + std::chrono::hours(1));
  EXPECT_FLOAT_EQ(hours.depth_mm(0, 0), 0 + 1 + 2 + 3);
  EXPECT_FLOAT_EQ(hours.depth_mm(0, 1), 4 + 5 + 6 + 7);
}

TEST(GatheredDepths, ScalesAnHourWithOneStepLost) {
  RainTable table(StepAxis(kDay + kQuarter, kQuarter, 4), 1);
  for (std::size_t i = 0; i < 3; ++i) table.set(0, i, 3);
  EXPECT_FLOAT_EQ(gathered_depths(table, std::chrono::hours(1)).depth_mm(0, 0), 12);  // 9 / 0.75
}

TEST(GatheredDepths, DoesNotJudgeAnHourThatIsNotOver) {
  RainTable table(StepAxis(kDay + kQuarter, kQuarter, 7), 1);
  for (std::size_t i = 0; i < 7; ++i) table.set(0, i, 1);
  const RainTable hours = gathered_depths(table, std::chrono::hours(1));
  ASSERT_EQ(hours.step_count(), 2U);
  EXPECT_FLOAT_EQ(hours.depth_mm(0, 0), 4);
  EXPECT_TRUE(std::isnan(hours.depth_mm(0, 1)));
}

TEST(GatheredDepths, LosesAnHourWithHalfItsStepsLost) {
  RainTable table(StepAxis(kDay + kQuarter, kQuarter, 4), 1);
  for (std::size_t i = 0; i < 2; ++i) table.set(0, i, 3);
  const RainTable hours = gathered_depths(table, std::chrono::hours(1));
  EXPECT_FALSE(hours.is_measured(0, 0));
  EXPECT_TRUE(std::isnan(hours.depth_mm(0, 0)));
}

TEST(GatheredDepths, BeginsAtWholeHoursWhereverTheTableBegins) {
  RainTable table(StepAxis(kDay + std::chrono::minutes(45), kQuarter, 5), 1);
  for (std::size_t i = 0; i < 5; ++i) table.set(0, i, 1);
  const RainTable hours = gathered_depths(table, std::chrono::hours(1), 0.25);
  ASSERT_EQ(hours.step_count(), 2U);
  EXPECT_EQ(hours.axis().begin(0), kDay);
  const auto windows = window_of_step(table.axis(), hours.axis());
  EXPECT_EQ(windows, (std::vector<std::size_t>{0, 0, 1, 1, 1}));
}

TEST(GatheredDepths, KeepsLongerStepsAsTheyAre) {
  RainTable table(StepAxis(kDay, std::chrono::hours(24), 2), 1);
  table.set(0, 1, 5);
  EXPECT_EQ(gathered_depths(table, std::chrono::hours(1)).axis(), table.axis());
}

}  // namespace
}  // namespace gaugeloom
