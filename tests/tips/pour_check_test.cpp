#include "gaugeloom/tips/pour_check.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "gaugeloom/tips/correct_gauge.hpp"

namespace gaugeloom {
namespace {

Instant at_s(double seconds) { return Instant(Duration(std::llround(1e6 * seconds))); }

// A pour of `ml` from 100 s to 2000 s into a bucket of `bucket_mm`, and as many tips, 15 s apart.
PourCheck pour(double ml, double bucket_mm, double funnel_cm2, int tips) {
  GaugeFacts facts;
  facts.rows.emplace_back();
  facts.rows.back().bucket_mm = bucket_mm;
  facts.visits = {{at_s(100), at_s(2000)}};
  facts.pours = {{facts.visits[0], ml}};
  std::vector<Instant> stamps{at_s(10.5)};
  for (int i = 0; i < tips; ++i) stamps.push_back(at_s(120.5 + 15 * i));
  if (tips > 0) stamps.push_back(at_s(120.53));  // bounce of the first
  stamps.push_back(at_s(2000.5));
  const auto checks =
      pour_checks(correct_gauge({{{0, stamps}}}, facts).counters, facts, funnel_cm2);
  EXPECT_EQ(checks.size(), 1U);
  return checks.at(0);
}

// By hand: pi/4 (20 cm)^2 0.1 cm = 31.416 cm3; pi/4 (20.32 cm)^2 0.1 cm = 32.429 cm3.
TEST(PourCheck, KnowsTheWaterOfAMillimetre) {
  EXPECT_NEAR(ml_per_mm(std::numbers::pi / 4 * 20 * 20), 31.416, 0.0005);
  EXPECT_NEAR(ml_per_mm(std::numbers::pi / 4 * 20.32 * 20.32), 32.429, 0.0005);
  EXPECT_NEAR(ml_per_mm(InflowOptions{}.funnel_cm2), 31.416, 0.0005);
}

// 628.32 ml are 20 mm: 100 tips of 0.2 mm. With 98 the bucket holds 0.20408 mm.
TEST(PourCheck, GivesTheTrueDepthOfATipWithItsBand) {
  EXPECT_NEAR(pour(628.318, 0.2, 314.159, 100).factor, 1, 1e-6);
  const PourCheck check = pour(628.318, 0.2, 314.159, 98);
  EXPECT_EQ(check.tips, 98U);
  EXPECT_NEAR(check.poured_mm, 20, 1e-9);
  EXPECT_NEAR(check.true_mm, 0.204082, 1e-6);
  EXPECT_NEAR(check.low_mm, 20 / 98.683772, 1e-6);
  EXPECT_NEAR(check.high_mm, 20 / 97.316228, 1e-6);
  EXPECT_NEAR(check.factor, 1.020408, 1e-6);
  EXPECT_NEAR(check.intensity_mm_h, 48, 1e-9);  // 0.2 mm each 15 s
}

// 823.7 ml through 8 inches are 25.4 mm: 100 tips of 0.254 mm.
TEST(PourCheck, KnowsAFunnelOfEightInches) {
  EXPECT_NEAR(pour(823.70, 0.254, 324.293, 100).factor, 1, 1e-4);
}

TEST(PourCheck, SaysWhatItCannotKnow) {
  const PourCheck none = pour(100, 0.2, 314.159, 0);
  EXPECT_EQ(none.tips, 0U);
  EXPECT_TRUE(std::isnan(none.true_mm));
  const PourCheck one = pour(6, 0.2, 314.159, 1);
  EXPECT_EQ(one.tips, 1U);
  EXPECT_TRUE(std::isnan(one.high_mm));
  EXPECT_TRUE(std::isnan(one.intensity_mm_h));
}

}  // namespace
}  // namespace gaugeloom
