#include "gaugeloom/expect/peak_threshold.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/random.hpp"

namespace gaugeloom {
namespace {

constexpr PeakTail kOpen{.base = 2, .prior_scale = 1, .prior_peaks = 20, .least = 0, .most = 99};

std::vector<double> exponential_peaks(int count, double scale) {
  Random random("PeakThreshold");
  std::vector<double> peaks;
  for (int i = 0; i < count; ++i) peaks.push_back(2 + random.exponential(scale));
  return peaks;
}

TEST(PeakThreshold, FindsTheLevelOfAnExponentialTail) {
  const PeakLevel level = peak_level(exponential_peaks(4000, 1.5), 100, 0.2, kOpen);
  EXPECT_NEAR(level.scale, 1.5, 0.08);  // 4 standard errors of a mean of 4000, less the prior
  // N(u) = 4000 exp(-(u - 2) / 1.5) = 20
  EXPECT_NEAR(level.level, 2 + 1.5 * std::log(200), 0.5);
}

TEST(PeakThreshold, IsPassedAboutAsOftenAsTheDialSays) {
  const auto peaks = exponential_peaks(4000, 1.2);
  const PeakLevel level = peak_level(peaks, 100, 0.2, kOpen);
  const auto passed =
      std::count_if(peaks.begin(), peaks.end(), [&](double peak) { return peak > level.level; });
  EXPECT_GE(passed, 8);  // 20 are allowed; a Poisson count of 20 lies in 8 to 34 (99.9 %)
  EXPECT_LE(passed, 34);
}

TEST(PeakThreshold, DoesNotFollowAFewGreatFaults) {
  auto peaks = exponential_peaks(200, 1);
  const double before = peak_level(peaks, 10, 0.1, kOpen).level;
  for (int i = 0; i < 5; ++i) peaks.push_back(200);
  EXPECT_NEAR(peak_level(peaks, 10, 0.1, kOpen).level, before, 1);
}

TEST(PeakThreshold, RisesAsFewerCallsAreAllowed) {
  const auto peaks = exponential_peaks(200, 1);
  EXPECT_GT(peak_level(peaks, 10, 0.02, kOpen).level, peak_level(peaks, 10, 0.2, kOpen).level);
}

TEST(PeakThreshold, StaysWithinItsBounds) {
  const PeakTail narrow{.base = 2, .prior_scale = 1, .prior_peaks = 20, .least = 6, .most = 7};
  EXPECT_EQ(peak_level({}, 10, 5, narrow).level, 6);
  EXPECT_EQ(peak_level(exponential_peaks(900, 3), 1, 0.001, narrow).level, 7);
}

TEST(PeakThreshold, DoesNotDependOnTheOrder) {
  auto peaks = exponential_peaks(300, 1);
  const double forward = peak_level(peaks, 10, 0.1, kOpen).level;
  std::reverse(peaks.begin(), peaks.end());
  EXPECT_EQ(peak_level(peaks, 10, 0.1, kOpen).level, forward);
}

}  // namespace
}  // namespace gaugeloom
