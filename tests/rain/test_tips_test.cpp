#include "gaugeloom/rain/test_tips.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

Instant at(const char* text) { return parse_iso8601(text)->utc(); }

// Two gauges, 12 steps of 10 minutes from 10:00; zeros, but 0.2 and 0.4 mm of the first from 10:40
// to 11:00, and 1 mm of the second from 11:00 to 11:10.
RainRecord record() {
  RainRecord record;
  record.depths = RainTable(StepAxis(at("2024-03-01T10:10Z"), std::chrono::minutes(10), 12), 2,
                            std::vector<float>(24, 0.0F));
  record.depths.set(0, 4, 0.2F);
  record.depths.set(0, 5, 0.4F);
  record.depths.set(1, 6, 1);
  record.quality = QualityTable(2, 12, Quality::good);
  return record;
}

const SiteVisit kCleaned{
    0, {at("2024-03-01T10:35Z"), at("2024-03-01T10:50Z")}, VisitAction::cleaned, 0, ""};
const SiteVisit kPoured{
    0, {at("2024-03-01T10:35Z"), at("2024-03-01T11:10Z")}, VisitAction::calibrated, 200, ""};

std::vector<std::size_t> missing_steps(const RainRecord& record, std::size_t gauge) {
  std::vector<std::size_t> missing;
  for (std::size_t step = 0; step < record.depths.step_count(); ++step) {
    EXPECT_EQ(record.quality.at(gauge, step) == Quality::missing,
              !record.depths.is_measured(gauge, step));
    if (!record.depths.is_measured(gauge, step)) missing.push_back(step);
  }
  return missing;
}

TEST(TestTips, RefusesWhatTippedDuringAVisitAndKeepsItsZeros) {
  RainRecord made = record();
  const TestTips tips = mask_test_tips(made, std::vector{kCleaned});
  EXPECT_EQ(missing_steps(made, 0), std::vector<std::size_t>{4});
  EXPECT_TRUE(missing_steps(made, 1).empty());
  EXPECT_EQ(tips.steps, 1U);
  EXPECT_FLOAT_EQ(static_cast<float>(tips.depth_mm), 0.2F);
  EXPECT_EQ(tips.zeros, 0U);
  ASSERT_EQ(made.refused.size(), 1U);
  EXPECT_EQ(made.refused[0].step, 4U);
  EXPECT_EQ(made.refused[0].depth_mm, 0.2F);
  EXPECT_EQ(made.visits.size(), 1U);
}

TEST(TestTips, RefusesZerosBesideAPourToo) {
  RainRecord made = record();
  const TestTips tips = mask_test_tips(made, std::vector{kPoured});
  EXPECT_EQ(missing_steps(made, 0), (std::vector<std::size_t>{3, 4, 5, 6}));
  EXPECT_EQ(tips.steps, 2U);
  EXPECT_EQ(tips.zeros, 2U);
}

TEST(TestTips, DoNotDependOnTheOrderOfTheVisits) {
  RainRecord one = record();
  RainRecord other = record();
  const TestTips tips = mask_test_tips(one, std::vector{kCleaned, kPoured});
  const TestTips again = mask_test_tips(other, std::vector{kPoured, kCleaned});
  EXPECT_EQ(missing_steps(one, 0), missing_steps(other, 0));
  EXPECT_EQ(tips.steps, again.steps);
  EXPECT_EQ(tips.depth_mm, again.depth_mm);
  EXPECT_EQ(one.refused.size(), 4U);
  EXPECT_EQ(other.refused.size(), 4U);
  EXPECT_EQ(one.visits[0].action, other.visits[0].action);
  EXPECT_EQ(mask_test_tips(one, std::vector{kPoured}).steps, 0U);
}

TEST(TestTips, LeaveOutTotalsWithAPourInThem) {
  RainRecord made = record();
  made.totals = {{0, {at("2024-03-01T09:00Z"), at("2024-03-01T10:40Z")}, 3},
                 {0, {at("2024-03-01T11:10Z"), at("2024-03-01T11:40Z")}, 2},
                 {1, {at("2024-03-01T09:00Z"), at("2024-03-01T11:40Z")}, 1}};
  EXPECT_EQ(mask_test_tips(made, std::vector{kCleaned}).totals, 0U);
  EXPECT_EQ(mask_test_tips(made, std::vector{kPoured}).totals, 1U);
  ASSERT_EQ(made.totals.size(), 2U);
  EXPECT_EQ(made.totals[0].depth_mm, 2);
}

TEST(TestTips, TakeVisitsOutsideTheRecord) {
  RainRecord made = record();
  SiteVisit before = kPoured;
  before.over = {at("2020-01-01T00:00Z"), at("2024-03-01T10:00Z")};
  SiteVisit after = kPoured;
  after.over = {at("2024-03-01T12:00Z"), at("2024-03-01T13:00Z")};
  EXPECT_EQ(mask_test_tips(made, std::vector{before, after}).zeros, 0U);
  EXPECT_TRUE(missing_steps(made, 0).empty());
}

}  // namespace
}  // namespace gaugeloom
