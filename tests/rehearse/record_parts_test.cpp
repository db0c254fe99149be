#include "gaugeloom/rehearse/record_parts.hpp"

#include <gtest/gtest.h>

#include <optional>

namespace gaugeloom {
namespace {

// Hourly, from 1 March 2021 05:00 on: a midnight that belongs to yesterday is in it.
StepAxis hours(std::size_t count) {
  const Instant first = std::chrono::sys_days{std::chrono::year{2021} / 3 / 1};
  return {first + std::chrono::hours(5), std::chrono::hours(1), count};
}

RainRecord record_of(std::size_t count) {
  RainRecord record;
  record.depths = RainTable(hours(count), 2, std::vector<float>(2 * count, 0.2F));
  record.quality = QualityTable(2, count, Quality::good);
  return record;
}

TEST(RecordParts, FollowEachOtherAndCoverTheRecord) {
  for (const std::size_t count : {48U, 1000U, 8766U}) {
    for (const int parts : {1, 2, 3, 7}) {
      const auto ranges = record_parts(hours(count), parts);
      ASSERT_FALSE(ranges.empty());
      EXPECT_EQ(ranges.front().first, 0U);
      EXPECT_EQ(ranges.back().last, count);
      for (std::size_t i = 1; i < ranges.size(); ++i)
        EXPECT_EQ(ranges[i].first, ranges[i - 1].last);
    }
  }
}

TEST(RecordParts, BeginAtMidnight) {
  const StepAxis axis = hours(2000);
  const auto ranges = record_parts(axis, 4);
  ASSERT_EQ(ranges.size(), 4U);
  for (std::size_t i = 1; i < ranges.size(); ++i) {
    const Instant begin = axis.begin(ranges[i].first);
    EXPECT_EQ(begin, std::chrono::floor<std::chrono::days>(begin));
  }
}

TEST(RecordParts, OfAShortRecordAreFewer) {
  EXPECT_EQ(record_parts(hours(4 * 24), 7).size(), 2U);
  EXPECT_EQ(record_parts(hours(12), 7).size(), 1U);
}

TEST(RecordParts, AreCountedByTheirLength) {
  EXPECT_EQ(part_count(hours(8766), 91.3), 4);
  EXPECT_EQ(part_count(hours(24 * 30), 91.3), 2);
  EXPECT_EQ(part_count(hours(8766 * 10), 91.3), 12);
}

TEST(RecordParts, LeaveADayOnEitherSideUnlearned) {
  const RainRecord record = record_of(24 * 20);
  const auto ranges = record_parts(record.depths.axis(), 4);
  const RainRecord rest = without_part(record, ranges[1]);
  const std::size_t first = ranges[1].first - 24;
  const std::size_t last = ranges[1].last + 24;
  for (std::size_t step = 0; step < record.depths.step_count(); ++step) {
    const bool hidden = step >= first && step < last;
    EXPECT_EQ(rest.depths.is_measured(1, step), !hidden) << step;
    EXPECT_EQ(rest.quality.at(1, step), hidden ? Quality::missing : Quality::good);
  }
}

TEST(RecordParts, KeepWhatIsKnown) {
  RainRecord record = record_of(24 * 20);
  record.depths.set(1, 100, 7);
  record.quality.at(1, 100) = Quality::poor;
  record.temperatures = {{record.depths.axis().begin(100), std::nullopt, -3}};
  const RainRecord part = part_of(record, {96, 144});
  EXPECT_EQ(part.temperatures.size(), 1U);
  EXPECT_EQ(part.depths.step_count(), 48U);
  EXPECT_EQ(part.depths.axis().begin(0), record.depths.axis().begin(96));
  EXPECT_EQ(part.depths.depth_mm(1, 4), 7);
  EXPECT_EQ(part.quality.at(1, 4), Quality::poor);
}

}  // namespace
}  // namespace gaugeloom
