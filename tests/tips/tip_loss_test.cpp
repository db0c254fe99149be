#include "gaugeloom/tips/tip_loss.hpp"

#include <gtest/gtest.h>

namespace gaugeloom {
namespace {

TEST(TipLoss, IsUndoneExactly) {
  for (const double bucket_mm : {0.1, 0.2, 0.254, 0.5, 1.0})
    for (const double loss_s : {0.0, 0.3, 0.45, 0.6})
      for (const double rain_mm_h : {0.01, 1.0, 19.9, 175.2, 500.0, 1870.0}) {
        const double interval_s = tip_interval_s(rain_mm_h, bucket_mm, loss_s);
        const double corrected_mm = bucket_mm * tip_loss_factor(interval_s, bucket_mm, loss_s);
        EXPECT_NEAR(3600 * corrected_mm / interval_s / rain_mm_h, 1, 1e-12);
      }
}

TEST(TipLoss, NeedsLessTheLongerTheTime) {
  double before = tip_loss_factor(0.6, 0.2, kLossTimeS);
  for (double interval_s = 0.9; interval_s < 2000; interval_s *= 1.3) {
    const double factor = tip_loss_factor(interval_s, 0.2, kLossTimeS);
    EXPECT_LT(factor, before);
    before = factor;
  }
  EXPECT_NEAR(before, 1, 1e-3);
}

TEST(TipLoss, IsHeldAtTheRecordRain) {
  const double least_s = least_tip_interval_s(0.2, kLossTimeS);
  EXPECT_NEAR(least_s, 0.2 * 3600 / 1872 + 0.45, 1e-12);
  EXPECT_EQ(tip_loss_factor(0.4501, 0.2, kLossTimeS), tip_loss_factor(least_s, 0.2, kLossTimeS));
}

TEST(TipLoss, IsNothingWithoutALossTime) { EXPECT_EQ(tip_loss_factor(1, 0.2, 0), 1); }

}  // namespace
}  // namespace gaugeloom
