#include "gaugeloom/fill/band_law.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace gaugeloom {
namespace {

struct Case {
  double estimate_mm;
  DepthError band;
};
const Case kCases[] = {{0, {0, 0, 0.02}},   {0, {0, 0.4, 0.18}},    {0, {0, 0.4, 0.1}},
                       {0.8, {0, 3, 1.1}},  {1.2, {0.5, 2.5, 0.7}}, {0.1, {0, 0.2, 0.3}},
                       {1.9, {1, 2, 0.05}}, {0.02, {0, 0.4, 0.12}}, {2, {2, 2, 0}}};

double mean_over_shares(const BandLaw& law, double power) {
  double sum = 0;
  for (int i = 0; i < 200000; ++i) sum += std::pow(law.quantile_mm((i + 0.5) / 200000), power);
  return sum / 200000;
}

// The integral of (F(x) - step at the reading)^2: the score by its definition, from the other side.
double crps_by_definition(const BandLaw& law, double measured_mm) {
  constexpr double kStep = 1e-3;
  double sum = 0;
  for (double x = kStep / 2; x < 30; x += kStep) {
    const double f = law.share_up_to(x) - (x >= measured_mm ? 1 : 0);
    sum += f * f * kStep;
  }
  return sum;
}

TEST(BandLaw, HasTheBandForQuantiles) {
  for (const Case& c : kCases) {
    const BandLaw law = band_law(c.estimate_mm, c.band);
    EXPECT_NEAR(law.quantile_mm(0.05), c.band.low_mm, 1e-12);
    EXPECT_NEAR(law.quantile_mm(0.95), c.band.high_mm, 1e-9) << c.estimate_mm;
  }
}

TEST(BandLaw, HasTheEstimateForMeanAndTheErrorForDeviation) {
  for (const Case& c : {Case{0.8, {0, 3, 1.1}}, Case{1.2, {0.5, 2.5, 0.7}}}) {
    const BandLaw law = band_law(c.estimate_mm, c.band);
    EXPECT_NEAR(law.mean_mm(), c.estimate_mm, 1e-9);
    const double variance = law.mean_square_mm2() - law.mean_mm() * law.mean_mm();
    EXPECT_NEAR(std::sqrt(variance), c.band.standard_error_mm, 1e-6);
  }
  // No room for so small an error, nor for so large a one: the mean stays.
  EXPECT_NEAR(band_law(1.9, {1, 2, 0.05}).mean_mm(), 1.9, 1e-9);
  EXPECT_NEAR(band_law(0.1, {0, 0.2, 5}).mean_mm(), 0.1, 1e-6);
}

TEST(BandLaw, HasTheErrorForRootMeanSquareWhereTheEstimateIsZero) {
  for (const Case& c : {Case{0, {0, 0, 0.02}}, Case{0, {0, 0.4, 0.18}}, Case{0, {0, 0.2, 0.385}}})
    EXPECT_NEAR(std::sqrt(band_law(0, c.band).mean_square_mm2()), c.band.standard_error_mm, 1e-9);
}

TEST(BandLaw, HasTheMomentsOfItsQuantiles) {
  for (const Case& c : kCases) {
    const BandLaw law = band_law(c.estimate_mm, c.band);
    // midpoints, and a tail cut at 1 in 400000
    EXPECT_NEAR(mean_over_shares(law, 1), law.mean_mm(), 1e-4);
    EXPECT_NEAR(mean_over_shares(law, 2), law.mean_square_mm2(), 2e-3);
  }
}

TEST(BandLaw, GoesBackAndForth) {
  for (const Case& c : {kCases[3], kCases[4]}) {
    const BandLaw law = band_law(c.estimate_mm, c.band);
    for (const double share : {0.06, 0.3, 0.5, 0.9, 0.949, 0.97, 0.999})
      EXPECT_NEAR(law.share_up_to(law.quantile_mm(share)), share, 1e-9) << share;
  }
  EXPECT_EQ(band_law(0, {0, 0, 0.02}).share_up_to(0), 0.95);
  EXPECT_EQ(band_law(1, {0, 3, 1}).share_up_to(-0.1), 0);
}

TEST(BandLaw, ScoresAsTheIntegralOfTheSquaredDifference) {
  for (const Case& c : kCases)
    for (const double measured : {0.0, 0.2, 1.4, 6.0}) {
      const BandLaw law = band_law(c.estimate_mm, c.band);
      // 100 shares leave out what lies beyond the last, and round the corners
      EXPECT_NEAR(law.crps_mm(measured), crps_by_definition(law, measured), 0.01)
          << c.estimate_mm << " " << measured;
    }
}

TEST(BandLaw, WithoutSpreadScoresTheAbsoluteError) {
  const BandLaw law{2, 2, 1, 0.05, 0};
  EXPECT_NEAR(law.crps_mm(5), 3, 0.06);  // the twentieth below the band runs from 0
  EXPECT_NEAR((BandLaw{}.crps_mm(1.5)), 1.5, 1e-12);
}

TEST(BandLaw, OfNothingLearnedIsNotANumber) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_TRUE(std::isnan(band_law(1, {nan, nan, nan}).crps_mm(1)));
  EXPECT_TRUE(std::isnan(band_law(0, {nan, nan, nan}).crps_mm(1)));
}

}  // namespace
}  // namespace gaugeloom
