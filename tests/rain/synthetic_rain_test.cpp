// The synthetic rain that other tests lean on: that it is reproducible and looks like rain.
#include "support/synthetic_rain.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/core/hash.hpp"

namespace gaugeloom::support {
namespace {

TEST(SyntheticRain, IsTheSameForTheSameSeed) {
  SyntheticRainOptions options;
  options.steps = 1000;
  const auto a = synthetic_rain(options), b = synthetic_rain(options);
  ASSERT_EQ(a.table.values().size(), 40U * 1000U);
  EXPECT_TRUE(
      std::equal(a.table.values().begin(), a.table.values().end(), b.table.values().begin()));
  options.seed = 2;
  const auto other = synthetic_rain(options);
  EXPECT_FALSE(
      std::equal(a.table.values().begin(), a.table.values().end(), other.table.values().begin()));
}

TEST(SyntheticRain, LooksLikeAYearOfRain) {
  SyntheticRainOptions options;
  options.gauges = 25;
  options.steps = 365 * 96;
  options.step = std::chrono::minutes(15);
  const auto made = synthetic_rain(options);
  double largest = 0;
  for (std::size_t gauge = 0; gauge < made.positions.size(); ++gauge) {
    double total = 0, truth = 0, wet = 0;
    for (std::size_t step = 0; step < options.steps; ++step) {
      const double depth = made.table.depth_mm(gauge, step);
      total += depth;
      truth += made.true_mm[gauge * options.steps + step];
      wet += depth > 0 ? 1 : 0;
      largest = std::max(largest, depth);
    }
    EXPECT_GT(total, 400);
    EXPECT_LT(total, 1200);
    EXPECT_NEAR(total, truth, 0.01 * truth + 0.2);
    EXPECT_LT(wet / static_cast<double>(options.steps), 0.12);
  }
  EXPECT_GT(largest, 10);
  EXPECT_LT(largest, 40);
  RecordProperty("largest_mm_per_15min", std::to_string(largest));
}

TEST(SyntheticRain, TipsKeepTheWater) {
  const std::vector<double> depth = {0.1, 0.15, 0.0, 0.5, 0.05};
  const auto tips = tipped_mm(depth, 0.2);
  const std::vector<float> want = {0.0F, 0.2F, 0.0F, 0.4F, 0.2F};
  ASSERT_EQ(tips.size(), want.size());
  for (std::size_t i = 0; i < tips.size(); ++i) EXPECT_NEAR(tips[i], want[i], 1e-6) << i;
}

}  // namespace
}  // namespace gaugeloom::support
