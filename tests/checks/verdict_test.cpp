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
