#include "gaugeloom/expect/long_sums.hpp"

#include <gtest/gtest.h>

namespace gaugeloom {
namespace {

const Instant kDay = std::chrono::sys_days{std::chrono::year{2023} / 3 / 1};

struct Case {
  RainTable table{StepAxis(kDay + std::chrono::hours(1), std::chrono::hours(1), 24 * 40), 3};
  ExpectedDepths expected;
  Exclusions excluded{3, 24 * 40};

  explicit Case(float share_of_second) {
    expected.steps = 24 * 40;
    expected.depth_mm.assign(3 * 24 * 40, 0.5F);
    expected.wet_share.assign(3 * 24 * 40, 1);
    for (std::size_t g = 0; g < 3; ++g) {
      for (std::size_t i = 0; i < 24 * 40; ++i)
        table.set(g, i, g == 1 ? 0.5F * share_of_second : 0.5F);
    }
  }
  BlockSums days() const { return block_sums(table, expected, excluded, std::chrono::hours(24)); }
};

TEST(LongSums, AddUpOnlyWhereBothAreKnown) {
  Case c(1);
  for (std::size_t i = 0; i < 12; ++i) c.table.set_missing(0, i);
  const BlockSums days = c.days();
  ASSERT_EQ(days.blocks(), 40U);
  EXPECT_FLOAT_EQ(days.row(0)[0].observed_mm, 6);
  EXPECT_FLOAT_EQ(days.row(0)[0].expected_mm, 6);
  EXPECT_FLOAT_EQ(days.row(0)[0].usable_share, 0.5F);
  EXPECT_FLOAT_EQ(days.row(0)[1].observed_mm, 12);
}

TEST(LongSums, LeaveOutADayThatIsNotOver) {
  Case c(1);
  c.table = slice(c.table, 0, 24 * 40 - 1);
  c.excluded = Exclusions(3, c.table.step_count());
  c.expected.steps = c.table.step_count();
  const BlockSums days = c.days();
  EXPECT_FLOAT_EQ(days.row(1)[38].usable_share, 1);
  EXPECT_FLOAT_EQ(days.row(1)[39].usable_share, 0);
}

TEST(LongSums, MarkDaysThatAreNotAccepted) {
  Case c(1);
  c.excluded.set(2, 30, 31);
  EXPECT_TRUE(c.days().row(2)[0].accepted);
  EXPECT_FALSE(c.days().row(2)[1].accepted);
}

TEST(LongSums, FindTheRatioOfADrySiteAndShrinkIt) {
  const Case c(0.6F);
  const std::vector<double> bucket(3, 0.2);
  const SiteRatios sites = refined_site_ratios(c.days(), bucket, SiteRatios(3));
  EXPECT_NEAR(sites.lift, 1, 1e-9);
  EXPECT_NEAR(sites.ratio[0], 1, 1e-9);
  // log((7.2 + 0.2) / (12 + 0.2)) of 40 days, shrunk by 40 / 56: computed by hand.
  EXPECT_NEAR(sites.ratio[1], 0.69969, 1e-4);
}

TEST(LongSums, KeepZerosFiniteInRatios) {
  EXPECT_DOUBLE_EQ(log_ratio(3, 3, 0.2), 0);
  EXPECT_LT(log_ratio(0, 10, 0.2), -3.9);  // log(0.2 / 10.2)
  EXPECT_GT(log_ratio(0, 10, 0.2), -4.0);
}

}  // namespace
}  // namespace gaugeloom
