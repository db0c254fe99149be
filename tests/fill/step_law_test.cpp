#include "fill/step_law_internal.hpp"

#include <gtest/gtest.h>

#include <limits>

#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom::fill_internal {
namespace {

// One gauge, two days of hours, all measured 0 but what a test sets.
SeriesRecord dry_record() {
  RainTable observed(StepAxis(parse_iso8601("2024-06-01T01:00Z")->utc(), std::chrono::hours{1}, 48),
                     1);
  for (std::size_t s = 0; s < 48; ++s) observed.set(0, s, 0);
  SeriesRecord record = unchecked_record(std::move(observed));
  make_room_for_bounds(record);
  return record;
}

void set(SeriesRecord& record, std::size_t step, float depth_mm, float high_mm, float error_mm,
         Origin origin = Origin::neighbours) {
  record.depth.set(0, step, depth_mm);
  record.origin[step] = origin;
  record.low_mm[step] = 0;
  record.high_mm[step] = high_mm;
  record.standard_error_mm[step] = error_mm;
}

TEST(StepLaws, HaveNoneWhereThereIsNoDoubt) {
  SeriesRecord record = dry_record();
  set(record, 1, 0, 0, 0.1F);                                     // dry, and surely so
  set(record, 2, 1, 5, std::numeric_limits<float>::quiet_NaN());  // nobody knows its course
  const StepLaws laws(record, 0);
  for (const std::size_t step : {0, 1, 2}) EXPECT_FALSE(laws.at(step)) << step;
  const SeriesRecord bare = unchecked_record(RainTable(record.depth.axis(), 1));
  EXPECT_FALSE(StepLaws(bare, 0).at(0));
}

TEST(StepLaws, KeepTheWaterOfADay) {
  SeriesRecord record = dry_record();
  set(record, 3, 2, 6, 2);
  set(record, 4, 1, 3, 1.1F);
  set(record, 5, 0, 0.4F, 0.3F);
  set(record, 30, 2, 6, 2);  // the next day: no dry step beside it
  const StepLaws laws(record, 0);
  const double dry_mm = laws.at(5)->mean_mm();
  EXPECT_GT(dry_mm, 0.02);
  EXPECT_NEAR(laws.at(3)->mean_mm() + laws.at(4)->mean_mm() + dry_mm, 3, 1e-6);
  EXPECT_NEAR(laws.at(3)->mean_mm() / laws.at(4)->mean_mm(), 2, 1e-6);
  EXPECT_NEAR(laws.at(30)->mean_mm(), 2, 1e-6);
  EXPECT_NEAR(laws.at(3)->quantile_mm(0.95), 6, 1e-6);
  EXPECT_NEAR(laws.at(5)->quantile_mm(0.95), 0.4, 1e-6);
}

TEST(StepLaws, TakeAtMostHalfOfAWetStep) {
  SeriesRecord record = dry_record();
  set(record, 3, 0.2F, 0.9F, 0.3F);
  for (std::size_t s = 4; s < 12; ++s) set(record, s, 0, 0.4F, 0.3F);
  EXPECT_NEAR(StepLaws(record, 0).at(3)->mean_mm(), 0.1, 1e-6);
}

TEST(StepLaws, LeaveTheStepsOfTotalsTheirMeans) {
  SeriesRecord record = dry_record();
  set(record, 3, 2, 6, 2, Origin::spread_total);
  set(record, 4, 0, 0.4F, 0.3F);
  EXPECT_NEAR(StepLaws(record, 0).at(3)->mean_mm(), 2, 1e-6);
}

}  // namespace
}  // namespace gaugeloom::fill_internal
