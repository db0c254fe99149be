#include "gaugeloom/checks/finding_evidence.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kGauge = 12;

CheckOptions keeping(std::size_t most = 200) {
  CheckOptions options;
  options.keep_evidence = true;
  options.most_evidence = most;
  return options;
}

RainTable silenced(std::size_t first_day, std::size_t last_day) {
  RainTable table = support::healthy_network().table;
  for (std::size_t i = support::day_step(first_day); i < support::day_step(last_day); ++i)
    table.set(kGauge, i, 0);
  return table;
}

std::size_t row_of(const CheckResult& result, FindingKind kind) {
  for (std::size_t i = 0; i < result.findings.size(); ++i)
    if (result.findings[i].gauge == kGauge && result.findings[i].kind == kind) return i;
  ADD_FAILURE() << word(kind) << " was not found";
  return 0;
}

TEST(FindingEvidence, IsNotMadeUnlessAskedFor) {
  const CheckResult plain = support::checked(silenced(30, 40));
  EXPECT_FALSE(plain.findings.empty());
  EXPECT_TRUE(plain.evidence.empty());
}

TEST(FindingEvidence, ShowsTheHoursAroundABlockAsTheyWereRead) {
  const RainTable table = silenced(30, 40);
  const CheckResult result = support::checked(table, keeping());
  const std::size_t row = row_of(result, FindingKind::blocked);
  const Finding& f = result.findings[row];
  const FindingEvidence& e = result.evidence.at(row);
  EXPECT_EQ(e.bar, std::chrono::hours(1));
  EXPECT_GE(f.from - e.begin, std::chrono::hours(48));
  const auto bar_of = [&](Instant t) { return static_cast<std::size_t>((t - e.begin) / e.bar); };
  EXPECT_GE(e.begin + e.bar * static_cast<long>(e.bars()) - *f.to, std::chrono::hours(48));
  double expected = 0;
  for (std::size_t i = bar_of(f.from); i < bar_of(*f.to); ++i) {
    EXPECT_EQ(e.own_mm[i], 0);
    expected += e.expected_mm[i];
  }
  EXPECT_EQ(expected, f.expected_mm);  // the same numbers in the same order
  EXPECT_GT(*std::max_element(e.own_mm.begin(), e.own_mm.end()), 0);  // in the margins
  ASSERT_EQ(e.neighbours_mm.size(), kMostEvidenceNeighbours);
  for (const auto& depths : e.neighbours_mm)
    EXPECT_GT(*std::max_element(depths.begin(), depths.end()), 0);
}

TEST(FindingEvidence, TakesMissingForNothingAndNotForZero) {
  RainTable table = silenced(30, 40);
  const std::size_t gap = support::day_step(41);
  for (std::size_t i = gap; i < gap + 4; ++i) table.set_missing(kGauge, i);
  table.set_missing(kGauge, gap + 5);
  const CheckResult result = support::checked(table, keeping());
  const FindingEvidence& e = result.evidence.at(row_of(result, FindingKind::blocked));
  const auto bar = static_cast<std::size_t>((table.axis().begin(gap) - e.begin) / e.bar);
  EXPECT_TRUE(std::isnan(e.own_mm.at(bar)));
  EXPECT_EQ(e.own_share.at(bar), 0);
  EXPECT_FALSE(std::isnan(e.own_mm.at(bar + 1)));
  EXPECT_EQ(e.own_share.at(bar + 1), 0.75);
  EXPECT_EQ(e.own_share.at(bar + 2), 1);
}

TEST(FindingEvidence, KeepsThoseThatLastAndThenTheSurestWhenTheyAreMany) {
  RainTable table = silenced(30, 60);
  for (std::size_t i = 5000; i < 5040; ++i) table.set(3, i, 0.6F);
  for (std::size_t i = support::day_step(60); i < support::day_step(90); ++i) table.set(20, i, 0);
  const CheckResult all = support::checked(table, keeping());
  ASSERT_GE(all.findings.size(), 3U);
  for (const std::size_t most : {0U, 1U, 2U}) {
    const CheckResult result = support::checked(table, keeping(most));
    ASSERT_EQ(result.evidence.size(), result.findings.size());
    std::size_t kept = 0;
    for (std::size_t i = 0; i < result.findings.size(); ++i) {
      if (result.evidence[i].empty()) continue;
      ++kept;
      EXPECT_EQ(result.evidence[i].own_mm, all.evidence[i].own_mm);
      EXPECT_TRUE(most != 1 || !result.findings[i].to.has_value());
      EXPECT_TRUE(most != 2 || result.findings[i].tier == Tier::confirmed);
    }
    EXPECT_EQ(kept, most);
  }
}

TEST(FindingEvidence, FollowsStepsLongerThanAnHour) {
  RainRecord record;
  record.depths = sums(silenced(30, 60), 96);
  const CheckResult result = check_network(support::healthy_network().network, record, keeping());
  const FindingEvidence& e = result.evidence.at(row_of(result, FindingKind::blocked));
  EXPECT_EQ(e.bar, std::chrono::hours(24));
  EXPECT_LE(e.bars(), 90U);
}

// The level is passed at the call itself where nothing else told the fault earlier.
TEST(FindingEvidence, HasTheScoreOfABlockPassItsLevelAtTheCall) {
  const CheckResult result = support::checked(silenced(30, 60), keeping());
  const std::size_t row = row_of(result, FindingKind::blocked);
  const ScoreGrowth& growth = result.evidence.at(row).score;
  ASSERT_TRUE(growth.provisional.has_value());
  EXPECT_FALSE(growth.confirmed.has_value());  // another sum is held against it
  const auto passed = std::ranges::find_if(
      growth.points, [&](const ScorePoint& p) { return p.score >= *growth.provisional; });
  ASSERT_NE(passed, growth.points.end());
  EXPECT_EQ(passed->time, result.findings[row].called);
  EXPECT_GT(passed - growth.points.begin(), 3);  // it grew
}

}  // namespace
}  // namespace gaugeloom
