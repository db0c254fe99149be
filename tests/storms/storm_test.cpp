#include "gaugeloom/storms/storm.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/core/error.hpp"
#include "support/synthetic_rain.hpp"

namespace gaugeloom {
namespace {

const Instant kBegin = std::chrono::sys_days{std::chrono::year{2021} / 3 / 4};

SeriesRecord hourly(std::size_t gauges, const std::vector<float>& values) {
  const StepAxis axis(kBegin + std::chrono::hours(1), std::chrono::hours(1),
                      values.size() / gauges);
  return unchecked_record(RainTable(axis, gauges, values));
}

TEST(Storms, AreCalledByTheirBegin) {
  const StormList list = find_storms(hourly(1, {0, 0, 3, 1, 0, 0, 0, 0, 0, 0}));
  ASSERT_EQ(list.storms.size(), 1U);
  EXPECT_EQ(list.storms[0].id, "20210304T0200Z");
  EXPECT_EQ(list.storms[0].over.to, kBegin + std::chrono::hours(4));
  EXPECT_FALSE(list.storms[0].running);
  EXPECT_EQ(list.small, 0U);
}

TEST(Storms, RunWhileTheDryGapHasNotPassed) {
  const StormList list = find_storms(hourly(1, {0, 0, 3, 1, 0, 0}));
  ASSERT_EQ(list.storms.size(), 1U);
  EXPECT_TRUE(list.storms[0].running);
}

TEST(Storms, LeaveOutWhatIsTooSmall) {
  std::vector<float> values = {0.4F, 0, 0, 0, 0, 0, 0, 2, 0, 0, 0, 0, 0, 0};
  const StormList list = find_storms(hourly(1, values));
  EXPECT_EQ(list.storms.size(), 1U);
  EXPECT_EQ(list.small, 1U);
  EXPECT_NEAR(list.small_mm, 0.4, 1e-6);
  StormOptions options;
  options.least_mean_mm = 0.1;
  EXPECT_EQ(find_storms(hourly(1, values), options).storms.size(), 2U);
  options.least_mean_mm = 3;
  EXPECT_TRUE(find_storms(hourly(1, values), options).storms.empty());
}

TEST(Storms, LeaveOutWhatTooFewGaugesHad) {
  const SeriesRecord record = hourly(4, {9, 0, 0, 0, 0, 0, 0, 0});  // one gauge of four
  EXPECT_EQ(find_storms(record).storms.size(), 1U);
  StormOptions options;
  options.least_wet_share = 0.5;
  EXPECT_TRUE(find_storms(record, options).storms.empty());
}

TEST(Storms, AreNotMadeByEstimates) {
  SeriesRecord record = hourly(2, {0, 0, 0, 0, 0, 0, 0, 0});
  for (std::size_t g = 0; g < 2; ++g) {
    record.depth.set(g, 1, 50);
    record.origin[record.index(g, 1)] = Origin::neighbours;
  }
  EXPECT_TRUE(find_storms(record).storms.empty());
}

TEST(Storms, AreNoneWithoutRain) {
  EXPECT_TRUE(find_storms(hourly(2, {0, 0, 0, 0})).storms.empty());
  EXPECT_TRUE(find_storms(SeriesRecord{}).storms.empty());
}

TEST(Storms, RefuseImpossibleOptions) {
  for (const StormOptions& options :
       {StormOptions{std::chrono::seconds(0), 1, 0.1}, StormOptions{std::chrono::hours(6), -1, 0.1},
        StormOptions{std::chrono::hours(6), 1, 1.1}})
    EXPECT_THROW(find_storms(SeriesRecord{}, options), Error);
}

}  // namespace
}  // namespace gaugeloom
