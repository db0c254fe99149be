#include "gaugeloom/checks/visit_order.hpp"

#include <gtest/gtest.h>

#include <algorithm>

namespace gaugeloom {
namespace {

const Instant kBegin = std::chrono::sys_days{std::chrono::year{2021} / 3 / 4};

Network network_of(std::size_t gauges) {
  Network network;
  for (std::size_t g = 0; g < gauges; ++g) {
    network.gauges.emplace_back();
    network.gauges.back().id = std::string(1, static_cast<char>('A' + g));
  }
  return network;
}

Finding blocked(std::size_t gauge, double score, bool lasting, double missing_mm) {
  Finding finding;
  finding.gauge = gauge;
  finding.kind = FindingKind::blocked;
  finding.from = kBegin;
  if (!lasting) finding.to = kBegin + std::chrono::hours(48);
  finding.score = score;
  finding.expected_mm = missing_mm;
  return finding;
}

// Ten gauge-years, 300 mm expected at each gauge in 100 days, a level of 8 with a tail of 1.
CheckResult result_of(std::size_t gauges, std::vector<Finding> findings) {
  CheckResult result;
  result.findings = std::move(findings);
  result.gauges.resize(gauges);
  for (GaugeSummary& summary : result.gauges) summary.expected_mm = 300;
  result.nulls.thresholds = {{.kind = FindingKind::blocked, .provisional = 8, .tail_scale = 1}};
  result.gauge_years = 10;
  return result;
}

TEST(VisitOrder, PutsWhatLastsBeforeWhatHasEnded) {
  const auto visits = visit_order(
      network_of(3), result_of(3, {blocked(0, 20, false, 40), blocked(1, 20, true, 40)}), 100, 0.2);
  ASSERT_EQ(visits.size(), 2U);
  EXPECT_EQ(visits[0].gauge, 1U);
  EXPECT_DOUBLE_EQ(visits[0].at_stake_mm, 40 + 90);  // 30 of 100 days of 300 mm, all of it lost
  EXPECT_DOUBLE_EQ(visits[1].at_stake_mm, 10);
}

// Worked by hand: 10 years x 0.2 x 0.35 (the share of blocked) x exp(-(score - 8)) by chance.
TEST(VisitOrder, SaysHowLikelyAFaultIs) {
  const auto visits = visit_order(
      network_of(3), result_of(3, {blocked(0, 8, true, 40), blocked(1, 12, true, 4)}), 100, 0.2);
  ASSERT_EQ(visits.size(), 2U);
  const auto of = [&](std::size_t gauge) {
    return *std::find_if(visits.begin(), visits.end(),
                         [&](const Visit& v) { return v.gauge == gauge; });
  };
  EXPECT_NEAR(of(0).fault_probability, 1 - 0.7 / 2, 1e-12);
  EXPECT_NEAR(of(1).fault_probability, 1 - 0.7 * 0.01831563888873418, 1e-9);
}

TEST(VisitOrder, PutsTheLonelyGaugeFirst) {
  CheckResult result = result_of(3, {blocked(0, 20, true, 40), blocked(1, 20, true, 40)});
  result.gauges[1].isolation = 2;
  const auto visits = visit_order(network_of(3), result, 100, 0.2);
  EXPECT_EQ(visits[0].gauge, 1U);
  EXPECT_DOUBLE_EQ(visits[0].priority_mm, 2 * visits[1].priority_mm);
}

TEST(VisitOrder, DoesNotDependOnTheOrderOfFindings) {
  std::vector<Finding> findings{blocked(2, 9, false, 12), blocked(0, 30, true, 25),
                                blocked(2, 14, true, 8), blocked(1, 30, true, 25)};
  const auto before = visit_order(network_of(3), result_of(3, findings), 100, 0.2);
  std::reverse(findings.begin(), findings.end());
  const auto after = visit_order(network_of(3), result_of(3, findings), 100, 0.2);
  ASSERT_EQ(before.size(), 3U);
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_EQ(before[i].gauge, after[i].gauge);
    EXPECT_EQ(before[i].finding, findings.size() - 1 - after[i].finding);
    EXPECT_DOUBLE_EQ(before[i].priority_mm, after[i].priority_mm);
  }
}

TEST(VisitOrder, DoesNotDoubtWhatWasAccepted) {
  const CheckResult result = result_of(3, {blocked(0, 12, true, 40), blocked(1, 8, true, 40)});
  std::vector<FindingReview> reviews(2);
  EXPECT_EQ(visit_order(network_of(3), result, 100, 0.2, reviews)[0].gauge, 0U);
  reviews[1] = {"B-blocked", "", "accepted by N. R. on 2021-04-01", true};
  const auto visits = visit_order(network_of(3), result, 100, 0.2, reviews);
  ASSERT_EQ(visits.size(), 2U);
  EXPECT_EQ(visits[0].gauge, 1U);
  EXPECT_EQ(visits[0].fault_probability, 1);
  EXPECT_DOUBLE_EQ(visits[0].priority_mm, visits[0].at_stake_mm);
  Finding told;
  told.reason = "Not a tip.";
  EXPECT_EQ(visit_reason(visits[0], told), "Not a tip. It was accepted by N. R. on 2021-04-01.");
  EXPECT_EQ(visit_reason(visits[1], told), "Not a tip.");
  EXPECT_LT(visits[1].fault_probability, 1);
}

TEST(VisitOrder, GoesNowhereForWhatCouldNotBeTested) {
  Finding finding = blocked(0, 20, true, 40);
  finding.kind = FindingKind::not_testable;
  EXPECT_TRUE(visit_order(network_of(3), result_of(3, {finding}), 100, 0.2).empty());
}

TEST(VisitOrder, SaysWhatToLookAtForEveryKind) {
  for (int kind = 0; kind <= static_cast<int>(FindingKind::stuck); ++kind)
    EXPECT_GT(look_first(static_cast<FindingKind>(kind)).size(), 30U);
}

}  // namespace
}  // namespace gaugeloom
