#include "gaugeloom/storms/peak_depths.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "support/synthetic_rain.hpp"

namespace gaugeloom {
namespace {

using std::chrono::minutes;
constexpr float kMissing = std::numeric_limits<float>::quiet_NaN();

double peak(const PeakDepths& peaks, minutes duration) {
  for (std::size_t d = 0; d < peaks.size(); ++d)
    if (kStormDurations[d] == duration) return peaks[d];
  throw std::runtime_error("no such duration");
}

TEST(PeakDepths, AreTheLargestSumsOfWindows) {
  const std::vector<float> five_minutes = {0.2F, 1, 0, 3, 2, 0.4F};
  const PeakDepths peaks = peak_depths(five_minutes, minutes(5));
  EXPECT_EQ(peak(peaks, minutes(5)), 3);
  EXPECT_EQ(peak(peaks, minutes(10)), 5);
  EXPECT_EQ(peak(peaks, minutes(15)), 5.4);
  EXPECT_EQ(peak(peaks, minutes(30)), 6.6);
  EXPECT_EQ(peak(peaks, minutes(1440)), 6.6);  // the rest of the day is dry
}

TEST(PeakDepths, AreUnknownWhereStepsDoNotFit) {
  const PeakDepths peaks = peak_depths(std::vector<float>{1, 2, 3}, minutes(10));
  EXPECT_TRUE(std::isnan(peak(peaks, minutes(5))));
  EXPECT_TRUE(std::isnan(peak(peaks, minutes(15))));
  EXPECT_EQ(peak(peaks, minutes(30)), 6);
  for (const double one : peak_depths({}, minutes(5))) EXPECT_TRUE(std::isnan(one));
}

TEST(PeakDepths, PassOverWindowsWithAMissingStep) {
  const PeakDepths peaks =
      peak_depths(std::vector<float>{9, kMissing, 1, 2, kMissing, 9}, minutes(5));
  EXPECT_EQ(peak(peaks, minutes(5)), 9);
  EXPECT_EQ(peak(peaks, minutes(10)), 3);
  EXPECT_TRUE(std::isnan(peak(peaks, minutes(15))));
}

TEST(PeakDepths, RiseAndThinOutWithTheDuration) {
  const support::SyntheticRain rain = support::synthetic_rain();
  double wettest = 0;
  for (std::size_t g = 0; g < rain.table.gauge_count(); ++g) {
    const auto row = rain.table.row(g);
    double sum = 0;
    for (const float mm : row) sum += static_cast<double>(mm);
    wettest = std::max(wettest, sum);
    const PeakDepths peaks = peak_depths(row, rain.table.axis().step());
    double before = 0;
    for (const double one : peaks) {
      if (std::isnan(one)) continue;
      EXPECT_GE(one, before);
      before = one;
    }
    EXPECT_LE(before, sum + 1e-6);
    EXPECT_GE(intensity_mm_h(peak(peaks, minutes(10)), minutes(10)),
              intensity_mm_h(peak(peaks, minutes(60)), minutes(60)));
    EXPECT_GE(intensity_mm_h(peak(peaks, minutes(60)), minutes(60)),
              intensity_mm_h(peak(peaks, minutes(1440)), minutes(1440)));
  }
  EXPECT_GT(wettest, 10);
}

TEST(PeakDepths, AsIntensity) { EXPECT_EQ(intensity_mm_h(3, minutes(5)), 36); }

}  // namespace
}  // namespace gaugeloom
