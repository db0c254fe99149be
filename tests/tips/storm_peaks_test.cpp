#include "gaugeloom/tips/storm_peaks.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/tips/step_depths.hpp"

namespace gaugeloom {
namespace {

using std::chrono::minutes;
using std::chrono::seconds;

const Instant kStart = std::chrono::sys_days{std::chrono::year{2021} / 3 / 4};

Inflow inflow(Duration from, Duration to, double mm) {
  return {kStart + from, kStart + to, 1, mm, mm, 0};
}

TEST(StormPeaks, OfEvenRainAreItsRate) {
  const std::vector<Inflow> rain{inflow(minutes{0}, minutes{120}, 24)};
  const auto storms = storm_peaks(rain);
  ASSERT_EQ(storms.size(), 1U);
  EXPECT_EQ(storms[0].over, (Interval{kStart, kStart + minutes{120}}));
  EXPECT_NEAR(storms[0].depth_mm, 24, 1e-12);
  for (std::size_t i = 0; i < kPeakDurations.size(); ++i)
    EXPECT_NEAR(storms[0].most_mm[i], 0.2 * static_cast<double>(kPeakDurations[i].count()), 1e-12);
}

// By hand: 3 mm in 3 min, 4 mm in the next 4, nothing for 3, 6 mm in 10.
TEST(StormPeaks, BeginAtAnyInstant) {
  const std::vector<Inflow> rain{inflow(minutes{0}, minutes{3}, 3),
                                 inflow(minutes{3}, minutes{7}, 4),
                                 inflow(minutes{10}, minutes{20}, 6)};
  const auto storms = storm_peaks(rain);
  ASSERT_EQ(storms.size(), 1U);
  EXPECT_NEAR(storms[0].most_mm[0], 5, 1e-12);   // any 5 of the first 7 min
  EXPECT_NEAR(storms[0].most_mm[1], 7, 1e-12);   // 0 to 10
  EXPECT_NEAR(storms[0].most_mm[2], 10, 1e-12);  // 0 to 15
  EXPECT_NEAR(storms[0].most_mm[3], 13, 1e-12);
}

TEST(StormPeaks, CountAnUnknownCourseAtItsEnd) {
  const std::vector<Inflow> rain{inflow(minutes{0}, minutes{0}, 0.6),
                                 inflow(minutes{60}, minutes{60}, 0.6)};
  const auto storms = storm_peaks(rain);
  ASSERT_EQ(storms.size(), 1U);
  EXPECT_NEAR(storms[0].most_mm[3], 0.6, 1e-12);
  EXPECT_NEAR(storms[0].most_mm[4], 1.2, 1e-12);  // 60 min hold both
}

TEST(StormPeaks, ArePartedBySixHoursAndLeaveOutTheSmallest) {
  const Duration six = std::chrono::hours{6};
  const std::vector<Inflow> rain{inflow(minutes{0}, minutes{10}, 2),
                                 inflow(minutes{10} + six, minutes{20} + six, 0.8),
                                 inflow(minutes{20} + 2 * six, minutes{30} + 2 * six, 3),
                                 inflow(minutes{29} + 3 * six, minutes{40} + 3 * six, 3)};
  const auto storms = storm_peaks(rain);
  ASSERT_EQ(storms.size(), 2U);
  EXPECT_NEAR(storms[0].depth_mm, 2, 1e-12);
  EXPECT_NEAR(storms[1].depth_mm, 6, 1e-12);
  EXPECT_TRUE(storm_peaks({}).empty());
}

TEST(StormPeaks, LawsOnRandomRain) {
  Random random("storm peaks");
  for (int round = 0; round < 200; ++round) {
    std::vector<Inflow> rain;
    Duration at{0};
    const std::size_t count = 1 + random.below(40);
    for (std::size_t i = 0; i < count; ++i) {
      at += random.chance(0.5) ? Duration{0} : Duration{seconds{random.below(1200)}};
      const Duration length = random.chance(0.2) ? Duration{0} : seconds{1 + random.below(900)};
      rain.push_back(inflow(at, at + length, random.uniform(0.05, 2)));
      at += length;
    }
    for (const StormPeaks& storm : storm_peaks(rain)) {
      EXPECT_TRUE(std::is_sorted(storm.most_mm.begin(), storm.most_mm.end()));
      EXPECT_LE(storm.most_mm.back(), storm.depth_mm + 1e-9);
      for (std::size_t i = 0; i < kPeakDurations.size(); ++i) {
        const StepAxis axis(kStart + kPeakDurations[i], kPeakDurations[i],
                            static_cast<std::size_t>(at / kPeakDurations[i]) + 1);
        const StepDepths steps = step_depths(rain, axis);
        EXPECT_LE(*std::ranges::max_element(steps.corrected_mm), storm.most_mm[i] + 1e-9);
      }
    }
  }
}

}  // namespace
}  // namespace gaugeloom
