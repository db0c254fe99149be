#include "gaugeloom/storms/total_fields.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace gaugeloom {
namespace {

TEST(TotalFields, AddUpEachWindowOfEachGauge) {
  RainTable table(StepAxis(Instant{std::chrono::hours(1)}, std::chrono::hours(1), 6), 3);
  for (std::size_t g = 0; g < 3; ++g)
    for (std::size_t t = 0; t < 6; ++t)
      if (g != 2 || t != 4) table.set(g, t, static_cast<float>(10 * g + t));
  const std::vector<StepAxis::Range> windows = {{0, 2}, {3, 6}};
  const std::vector<std::size_t> rows = {2, 0};
  const TotalFields fields = total_fields(table, windows, rows);
  ASSERT_EQ(fields.view().points, 2U);
  ASSERT_EQ(fields.view().steps, 2U);
  EXPECT_EQ(fields.view().row(0)[0], 41);  // 20 + 21
  EXPECT_TRUE(std::isnan(fields.view().row(0)[1]));
  EXPECT_EQ(fields.view().row(1)[0], 1);
  EXPECT_EQ(fields.view().row(1)[1], 12);
}

TEST(TotalFields, WindowsBesideOneTileTheRecord) {
  const auto windows = windows_beside({5, 8}, 13);
  ASSERT_EQ(windows.size(), 3U);
  EXPECT_EQ(windows[0].first, 2U);
  EXPECT_EQ(windows[1].first, 5U);
  EXPECT_EQ(windows[2].first, 8U);
  EXPECT_EQ(windows[2].last, 11U);
  EXPECT_EQ(windows_beside({0, 13}, 13).size(), 1U);
}

}  // namespace
}  // namespace gaugeloom
