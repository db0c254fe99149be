#include <gtest/gtest.h>

#include <cmath>

#include "checks/shifted_readings_internal.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

constexpr float kMissing = std::numeric_limits<float>::quiet_NaN();

RainRecord record_of(const std::vector<std::vector<float>>& rows) {
  const StepAxis axis(parse_iso8601("2024-03-01T01:00Z")->utc(), std::chrono::hours(1),
                      rows[0].size());
  RainRecord record;
  record.depths = RainTable(axis, rows.size());
  for (std::size_t gauge = 0; gauge < rows.size(); ++gauge)
    for (std::size_t i = 0; i < rows[gauge].size(); ++i)
      if (!std::isnan(rows[gauge][i])) record.depths.set(gauge, i, rows[gauge][i]);
  return record;
}

std::string row(const RainTable& table, std::size_t gauge = 0) {
  std::string text;
  for (const float depth : table.row(gauge))
    text += std::isnan(depth) ? "- " : std::to_string(static_cast<int>(depth)) + " ";
  return text;
}

TEST(ShiftedReadings, MovesWhatIsStampedLateToEarlierSteps) {
  RainRecord record = record_of({{kMissing, kMissing, 3, 4, 5, 6}, {1, 2, 3, 4, 5, 6}});
  const auto done = shift_readings(record, std::vector<TimeShift>{{0, {2, 6}, 2}});
  EXPECT_EQ(row(record.depths), "3 4 5 6 - - ");
  EXPECT_EQ(row(record.depths, 1), "1 2 3 4 5 6 ");
  EXPECT_EQ(done[0].moved, 4U);
  EXPECT_EQ(done[0].left_out, 0U);
  EXPECT_EQ(row(record.counted), "- - 3 4 5 6 ");
}

TEST(ShiftedReadings, MovesWhatIsStampedEarlyToLaterSteps) {
  RainRecord record = record_of({{1, 2, 3, kMissing, 5, 6}});
  const auto done = shift_readings(record, std::vector<TimeShift>{{0, {0, 4}, -1}});
  EXPECT_EQ(row(record.depths), "- 1 2 3 5 6 ");
  EXPECT_EQ(done[0].moved, 3U);
}

TEST(ShiftedReadings, LeavesWhatWasMeasuredElsewhereAndSaysWhatIsLeftOut) {
  RainRecord record = record_of({{1, 2, 3, 4, 5, 6}});
  const auto done = shift_readings(record, std::vector<TimeShift>{{0, {2, 5}, 1}});
  EXPECT_EQ(row(record.depths), "1 2 4 5 - 6 ");
  EXPECT_EQ(done[0].moved, 2U);
  EXPECT_EQ(done[0].left_out, 1U);
  EXPECT_EQ(done[0].left_out_mm, 3);
}

TEST(ShiftedReadings, LeavesOutWhatLeavesTheRecord) {
  RainRecord record = record_of({{1, 2, 3, 4}});
  const auto done = shift_readings(record, std::vector<TimeShift>{{0, {0, 4}, 3}});
  EXPECT_EQ(row(record.depths), "4 - - - ");
  EXPECT_EQ(done[0].left_out, 3U);
  EXPECT_EQ(done[0].left_out_mm, 6);
}

TEST(ShiftedReadings, MakesTwoShiftsOfAGaugeAtOnce) {
  RainRecord record = record_of({{1, 2, 3, 4, 5, 6, kMissing}});
  const auto done =
      shift_readings(record, std::vector<TimeShift>{{0, {0, 3}, -2}, {0, {3, 6}, -1}});
  // The first puts 1 2 3 on steps 2 to 4; of 4 5 6 the first meets the 3.
  EXPECT_EQ(row(record.depths), "- - 1 2 3 5 6 ");
  EXPECT_EQ(done[0].moved, 3U);
  EXPECT_EQ(done[1].moved, 2U);
  EXPECT_EQ(done[1].left_out_mm, 4);
}

TEST(ShiftedReadings, TakesQualityCounterAndTotalsAlong) {
  RainRecord record = record_of({{1, 2, kMissing, 4, kMissing, kMissing, 7, kMissing}});
  const StepAxis& axis = record.depths.axis();
  record.quality = QualityTable(1, 8, Quality::good);
  record.quality.at(0, 6) = Quality::suspect;
  record.other_counter = {{0, 6}, {0, 0}};
  record.totals = {{0, {axis.begin(2), axis.end(2)}, 9}, {0, {axis.begin(4), axis.end(5)}, 8}};
  shift_readings(record, std::vector<TimeShift>{{0, {4, 8}, 1}});
  // 7 goes to step 5; the total of steps 4 and 5 would go to 3 and 4, where 4 was measured.
  EXPECT_EQ(row(record.depths), "1 2 - 4 - 7 - - ");
  EXPECT_EQ(record.quality.at(0, 5), Quality::suspect);
  EXPECT_EQ(record.quality.at(0, 6), Quality::missing);
  ASSERT_EQ(record.other_counter.size(), 2U);
  EXPECT_EQ(record.other_counter[0].step, 0U);
  EXPECT_EQ(record.other_counter[1].step, 5U);
  ASSERT_EQ(record.totals.size(), 1U);
  EXPECT_EQ(record.totals[0].depth_mm, 9);
}

TEST(ShiftedReadings, MovesATotalWhereAllItsStepsAreFree) {
  RainRecord record = record_of({{1, kMissing, kMissing, kMissing, 5}});
  const StepAxis axis = record.depths.axis();
  record.totals = {{0, {axis.begin(2), axis.end(3)}, 9}};
  shift_readings(record, std::vector<TimeShift>{{0, {2, 5}, 1}});
  EXPECT_EQ(row(record.depths), "1 - - 5 - ");
  ASSERT_EQ(record.totals.size(), 1U);
  EXPECT_EQ(record.totals[0].over, (Interval{axis.begin(1), axis.end(2)}));
}

TEST(ShiftedReadings, KeepsWhatTheTipsCounted) {
  RainRecord record = record_of({{1, 2, 3}});
  record.counted = record_of({{7, 8, 9}}).depths;
  shift_readings(record, std::vector<TimeShift>{{0, {0, 3}, 1}});
  EXPECT_EQ(row(record.depths), "2 3 - ");
  EXPECT_EQ(row(record.counted), "7 8 9 ");
}

TEST(ShiftedReadings, DoesNothingWithoutSteps) {
  RainRecord record = record_of({{1, 2}});
  EXPECT_EQ(shift_readings(record, std::vector<TimeShift>{{0, {1, 1}, 1}})[0].moved, 0U);
  EXPECT_EQ(row(record.depths), "1 2 ");
}

}  // namespace
}  // namespace gaugeloom
