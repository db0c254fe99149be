#include "gaugeloom/tips/step_depths.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numeric>

#include "gaugeloom/core/random.hpp"

namespace gaugeloom {
namespace {

Instant at_s(double seconds) { return Instant(Duration(std::llround(1e6 * seconds))); }
const StepAxis kMinutes(at_s(60), std::chrono::seconds(60), 10);

Inflow even(double from_s, double to_s, double mm) {
  Inflow inflow;
  inflow.from = at_s(from_s);
  inflow.to = at_s(to_s);
  inflow.counted_mm = mm;
  inflow.corrected_mm = 2 * mm;
  return inflow;
}

TEST(StepDepths, ShareWhatFellEvenlyByTime) {
  const Inflow one = even(45, 165, 1.2);
  const auto depths = step_depths(std::span(&one, 1), kMinutes);
  EXPECT_NEAR(depths.counted_mm[0], 0.15, 1e-12);
  EXPECT_NEAR(depths.counted_mm[1], 0.6, 1e-12);
  EXPECT_NEAR(depths.counted_mm[2], 0.45, 1e-12);
  EXPECT_NEAR(depths.corrected_mm[1], 1.2, 1e-12);
  EXPECT_EQ(depths.counted_mm[3], 0);
}

TEST(StepDepths, PutWhatEndsWithAStepIntoIt) {
  const Inflow one = even(60, 120, 1);
  EXPECT_EQ(step_depths(std::span(&one, 1), kMinutes).counted_mm[1], 1);
}

TEST(StepDepths, PutWhatHasNoLengthAtItsOwnTime) {
  const Inflow one = even(120, 120, 1);
  EXPECT_EQ(step_depths(std::span(&one, 1), kMinutes).counted_mm[2], 1);
}

TEST(StepDepths, AddUpToTheInflow) {
  Random random("AddUpToTheInflow");
  for (const int step_s : {60, 300, 86400}) {
    const StepAxis axis(at_s(step_s), std::chrono::seconds(step_s), 86400 * 3 / step_s + 1);
    std::vector<Inflow> inflows;
    double at = 1;
    double total = 0;
    while (at < 86400 * 2) {
      const double to = at + random.exponential(300);
      inflows.push_back(random.chance(0.8) ? even(at, to, 0.2) : even(to, to, 0.2));
      total += 0.2;
      at = to;
    }
    auto depths = step_depths(inflows, axis);
    const auto sum = [](const std::vector<double>& v) {
      return std::accumulate(v.begin(), v.end(), 0.0);
    };
    EXPECT_NEAR(sum(depths.counted_mm), total, 1e-9);
    EXPECT_NEAR(sum(depths.corrected_mm), 2 * total, 1e-9);
    round_to_thousandths(depths.counted_mm);
    EXPECT_NEAR(sum(depths.counted_mm), total, 0.001);
  }
}

TEST(StepDepths, RoundWithoutLossNorNegatives) {
  std::vector<double> depths{0.0005, 0, 0.0001, 0.00045, 0, 0.2, 0.0004, 0.0004};
  const std::vector<double> exact = depths;
  round_to_thousandths(depths);
  EXPECT_EQ(depths[1], 0);
  EXPECT_EQ(depths[4], 0);
  double carried = 0;
  for (std::size_t i = 0; i < depths.size(); ++i) {
    EXPECT_GE(depths[i], 0);
    EXPECT_NEAR(1000 * depths[i], std::round(1000 * depths[i]), 1e-9);
    carried += exact[i] - depths[i];
    EXPECT_LE(std::abs(carried), 0.000501);
  }
}

}  // namespace
}  // namespace gaugeloom
