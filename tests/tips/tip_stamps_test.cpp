#include "gaugeloom/tips/tip_stamps.hpp"

#include <gtest/gtest.h>

#include <algorithm>

namespace gaugeloom {
namespace {

using std::chrono::seconds;

Instant at_ms(std::int64_t milliseconds) { return Instant(Duration(1000 * milliseconds)); }

std::vector<Instant> stamps(int count, std::int64_t apart_ms, std::int64_t from_ms = 0) {
  std::vector<Instant> times;
  for (int i = 0; i < count; ++i) times.push_back(at_ms(from_ms + i * apart_ms));
  return times;
}

TEST(TipStamps, AreFineWhereFractionsAreWritten) {
  const auto fine = stamps(50, 12345);
  EXPECT_EQ(stamp_runs(fine), (std::vector<StampRun>{{0, 50, seconds{0}}}));
}

TEST(TipStamps, AreWholeSecondsWhereNothingElseIsWritten) {
  EXPECT_EQ(stamp_runs(stamps(2, 7000)), (std::vector<StampRun>{{0, 2, seconds{1}}}));
}

TEST(TipStamps, AreWholeMinutesFromThreeOn) {
  EXPECT_EQ(stamp_runs(stamps(2, 60'000)), (std::vector<StampRun>{{0, 2, seconds{1}}}));
  EXPECT_EQ(stamp_runs(stamps(3, 60'000)), (std::vector<StampRun>{{0, 3, seconds{60}}}));
}

TEST(TipStamps, FollowALoggerThatWasReplaced) {
  auto times = stamps(30, 60'000);
  const auto by_second = stamps(25, 7000, 10'000'001'000);
  const auto fine = stamps(40, 1234, 20'000'000'100);
  times.insert(times.end(), by_second.begin(), by_second.end());
  times.insert(times.end(), fine.begin(), fine.end());
  EXPECT_EQ(
      stamp_runs(times),
      (std::vector<StampRun>{{0, 30, seconds{60}}, {30, 55, seconds{1}}, {55, 95, seconds{0}}}));
}

TEST(TipStamps, TakeAWholeSecondByChanceForFine) {
  auto times = stamps(10, 1234, 100);
  times.push_back(at_ms(60'000));
  times.push_back(at_ms(61'500));
  EXPECT_EQ(stamp_runs(times), (std::vector<StampRun>{{0, 12, seconds{0}}}));
}

TEST(TipStamps, OfNoTipAreNoStretch) { EXPECT_TRUE(stamp_runs({}).empty()); }

TEST(TipStamps, SpreadEvenlyWithinTheirSecond) {
  std::vector<Instant> times{at_ms(5000), at_ms(5000), at_ms(6000)};
  const StampRun run{0, 3, seconds{1}};
  auto after = times;
  spread_within_stamps(after, std::span(&run, 1), StampEdge::start);
  EXPECT_EQ(after, (std::vector<Instant>{at_ms(5250), at_ms(5750), at_ms(6500)}));
  spread_within_stamps(times, std::span(&run, 1), StampEdge::end);
  EXPECT_EQ(times, (std::vector<Instant>{at_ms(4250), at_ms(4750), at_ms(5500)}));
}

TEST(TipStamps, SpreadOverAMinuteAndStaySorted) {
  std::vector<Instant> times(7, at_ms(60'000));
  times.insert(times.end(), 3, at_ms(120'000));
  const StampRun run{0, 10, seconds{60}};
  spread_within_stamps(times, std::span(&run, 1), StampEdge::start);
  EXPECT_TRUE(std::is_sorted(times.begin(), times.end()));
  EXPECT_GE(times.front(), at_ms(60'000));
  EXPECT_LT(times[6], at_ms(120'000));
  EXPECT_EQ(times[8], at_ms(150'000));
}

}  // namespace
}  // namespace gaugeloom
