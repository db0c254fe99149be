#include <gtest/gtest.h>

#include "checks/rejected_findings_internal.hpp"

namespace gaugeloom {
namespace {

Instant hour(int h) { return Instant{std::chrono::hours(h)}; }

Finding found(FindingKind kind, int from, int to, std::size_t gauge = 1) {
  Finding finding;
  finding.gauge = gauge;
  finding.kind = kind;
  finding.from = hour(from);
  if (to > 0) finding.to = hour(to);
  return finding;
}

const Finding kBlocked = found(FindingKind::blocked, 10, 50);

std::vector<GaugeSpan> right_beside(const std::vector<Finding>& others) {
  RejectedFindings rejected;
  rejected.add(kBlocked, others);
  return rejected.right_rain();
}

TEST(RejectedFindings, LeaveTheRainRightUnderThem) {
  const auto right = right_beside({kBlocked});
  ASSERT_EQ(right.size(), 1U);
  EXPECT_EQ(right[0].gauge, 1U);
  EXPECT_EQ(right[0].over, (Interval{hour(10), hour(50)}));
}

TEST(RejectedFindings, LeaveItDoubtfulWhereAnotherFindingHolds) {
  const auto right = right_beside(
      {kBlocked, found(FindingKind::phantom_rain, 20, 30), found(FindingKind::reads_low, 45, 0)});
  ASSERT_EQ(right.size(), 2U);
  EXPECT_EQ(right[0].over, (Interval{hour(10), hour(20)}));
  EXPECT_EQ(right[1].over, (Interval{hour(30), hour(45)}));
  EXPECT_TRUE(right_beside({kBlocked, found(FindingKind::reads_low, 0, 60)}).empty());
  // At another time or gauge, or no doubt of what was read: nothing changes.
  EXPECT_EQ(
      right_beside(
          {kBlocked, found(FindingKind::reads_low, 50, 60), found(FindingKind::reads_low, 0, 60, 2),
           found(FindingKind::not_testable, 0, 60), found(FindingKind::calibration_step, 0, 60)})
          .size(),
      1U);
}

TEST(RejectedFindings, LeaveItRightWhereTheOtherIsRejectedToo) {
  const Finding low = found(FindingKind::reads_low, 0, 60);
  RejectedFindings rejected;
  rejected.add(kBlocked, std::vector{kBlocked, low});
  rejected.add(low, std::vector{kBlocked, low});
  ASSERT_EQ(rejected.right_rain().size(), 2U);
  EXPECT_EQ(rejected.right_rain()[0].over, (Interval{hour(10), hour(50)}));
}

TEST(RejectedFindings, GoWithTheirOtherBeginningsAndNames) {
  const Finding beside = found(FindingKind::phantom_rain, 40, 60);
  RejectedFindings rejected;
  rejected.add(kBlocked, std::vector{kBlocked, beside});
  std::vector<Finding> later = {
      kBlocked,
      found(FindingKind::blocked, 12, 0),
      found(FindingKind::partly_blocked, 30, 70),
      beside,
      found(FindingKind::phantom_rain, 41, 60),
      found(FindingKind::blocked, 50, 60),
      found(FindingKind::blocked, 10, 50, 2),
      found(FindingKind::not_testable, 0, 60),
  };
  const std::vector<Finding> all = later;
  rejected.take_out_of(later);
  ASSERT_EQ(later.size(), 5U);
  for (std::size_t i = 0; i < later.size(); ++i) {
    EXPECT_EQ(later[i].kind, all[i + 3].kind);
    EXPECT_EQ(later[i].from, all[i + 3].from);
  }
}

}  // namespace
}  // namespace gaugeloom
