#include "checks/verdict_internal.hpp"

#include <gtest/gtest.h>

namespace gaugeloom {
namespace {

Instant day(int days) { return Instant{} + std::chrono::hours(24 * days); }

Finding block(FindingKind kind, int from, int to, int called, double observed_mm,
              double expected_mm = 50) {
  Finding finding;
  finding.kind = kind;
  finding.from = day(from);
  finding.to = day(to);
  finding.called = day(called);
  finding.observed_mm = observed_mm;
  finding.expected_mm = expected_mm;
  return finding;
}

// A rehearsal planted full blocks that were told within a day, and then counted from the day on
// which the trickle after them was told.
TEST(Verdict, KeepsTheFirstCallOfABlockThatIsGivenAnotherName) {
  std::vector<Finding> findings{block(FindingKind::partly_blocked, 0, 40, 30, 5),
                                block(FindingKind::blocked, 1, 20, 2, 0, 20)};
  settle_overlaps(findings);
  ASSERT_EQ(findings.size(), 1U);
  EXPECT_EQ(findings[0].kind, FindingKind::partly_blocked);
  EXPECT_EQ(findings[0].called, day(2));
}

// A rehearsal planted full blocks of weeks, and the rain of the days around them passed for a
// trickle.
TEST(Verdict, CallsALongSilenceBlockedWhateverFellAroundIt) {
  std::vector<Finding> findings{block(FindingKind::partly_blocked, 0, 40, 30, 5),
                                block(FindingKind::blocked, 1, 39, 2, 0, 45)};
  settle_overlaps(findings);
  ASSERT_EQ(findings.size(), 1U);
  EXPECT_EQ(findings[0].kind, FindingKind::blocked);
}

Finding clock(double minutes) {
  Finding finding = block(FindingKind::clock_offset, 0, 30, 20, 50);
  finding.shift_minutes = minutes;
  return finding;
}

// A rehearsal planted clocks 12 hours off, which had three names: silent while it rained, wet while
// it was dry.
TEST(Verdict, TakesWhatAClockHalfADayOffExplains) {
  std::vector<Finding> findings{clock(-720), block(FindingKind::partly_blocked, 1, 12, 6, 20),
                                block(FindingKind::blocked, 3, 5, 4, 0),
                                block(FindingKind::phantom_rain, 7, 8, 8, 5)};
  settle_overlaps(findings);
  ASSERT_EQ(findings.size(), 1U);
  EXPECT_EQ(findings[0].kind, FindingKind::clock_offset);
  EXPECT_EQ(findings[0].called, day(4));
}

TEST(Verdict, KeepsASilenceOfTwoStormsUnderAWrongClock) {
  std::vector<Finding> findings{clock(720), block(FindingKind::blocked, 3, 12, 4, 0)};
  findings[1].tier = Tier::confirmed;
  settle_overlaps(findings);
  EXPECT_EQ(findings.size(), 2U);
}

TEST(Verdict, TakesTheLagOfAnOutletForNoClock) {
  std::vector<Finding> late{clock(45), block(FindingKind::partly_blocked, 1, 12, 25, 20)};
  settle_overlaps(late);
  ASSERT_EQ(late.size(), 1U);
  EXPECT_EQ(late[0].kind, FindingKind::partly_blocked);
  EXPECT_EQ(late[0].called, day(20));
  std::vector<Finding> early{clock(-45), block(FindingKind::partly_blocked, 1, 12, 25, 20)};
  settle_overlaps(early);
  EXPECT_EQ(early.size(), 2U);
}

TEST(Verdict, LeavesTheCallsOfOtherGaugesAlone) {
  std::vector<Finding> findings{block(FindingKind::partly_blocked, 0, 40, 30, 5),
                                block(FindingKind::blocked, 1, 20, 2, 0, 20)};
  findings[1].gauge = 1;
  settle_overlaps(findings);
  ASSERT_EQ(findings.size(), 2U);
  EXPECT_EQ(findings[0].called, day(30));
}

TEST(Verdict, CallsABlockWithoutATrickleBlocked) {
  std::vector<Finding> findings{block(FindingKind::partly_blocked, 0, 40, 30, 1),
                                block(FindingKind::blocked, 1, 20, 35, 0)};
  settle_overlaps(findings);
  ASSERT_EQ(findings.size(), 1U);
  EXPECT_EQ(findings[0].kind, FindingKind::blocked);
  EXPECT_EQ(findings[0].called, day(30));
}

}  // namespace
}  // namespace gaugeloom
