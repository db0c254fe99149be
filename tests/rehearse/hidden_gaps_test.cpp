#include "gaugeloom/rehearse/hidden_gaps.hpp"

#include <gtest/gtest.h>

namespace gaugeloom {
namespace {

RainRecord hourly(std::size_t gauges, std::size_t days) {
  RainRecord record;
  const StepAxis axis(Instant{} + std::chrono::hours(1), std::chrono::hours(1), 24 * days);
  record.depths = RainTable(axis, gauges, std::vector<float>(gauges * 24 * days, 0.2F));
  return record;
}

TEST(HiddenGaps, AreMissingAndNothingElseIs) {
  const RainRecord record = hourly(3, 60);
  const auto gaps = random_gaps(record, 5, "HiddenGaps");
  const RainRecord hidden = with_hidden(record, gaps);
  std::size_t inside = 0;
  for (const HiddenGap& gap : gaps) inside += gap.last - gap.first;
  std::size_t missing = 0;
  for (std::size_t g = 0; g < 3; ++g)
    for (std::size_t s = 0; s < record.depths.step_count(); ++s)
      missing += hidden.depths.is_measured(g, s) ? 0U : 1U;
  EXPECT_GT(inside, 0U);
  EXPECT_EQ(missing, inside);  // gaps of one gauge do not overlap
}

TEST(HiddenGaps, ComeAgainWithTheSameSeed) {
  const RainRecord record = hourly(3, 60);
  const auto first = random_gaps(record, 5, "seed");
  const auto again = random_gaps(record, 5, "seed");
  ASSERT_EQ(first.size(), again.size());
  for (std::size_t i = 0; i < first.size(); ++i) EXPECT_EQ(first[i].first, again[i].first);
}

TEST(HiddenGaps, LieAroundTheWettestHours) {
  RainRecord record = hourly(10, 60);
  for (std::size_t g = 0; g < 10; ++g) record.depths.set(g, 700, 20);
  for (const HiddenGap& gap : storm_gaps(record, 1, "storm")) {
    EXPECT_LE(gap.first, 700U);
    EXPECT_GT(gap.last, 700U);
  }
}

}  // namespace
}  // namespace gaugeloom
