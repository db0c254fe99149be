#include "gaugeloom/checks/gauge_overview.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace gaugeloom {
namespace {

constexpr float kMissing = std::numeric_limits<float>::quiet_NaN();
const Instant kBegin = std::chrono::sys_days{std::chrono::year{2021} / 3 / 4};

Network four_gauges() {
  Network network;
  for (const char* id : {"A", "B", "C", "D"}) {
    Gauge gauge;
    gauge.id = id;
    network.gauges.push_back(gauge);
  }
  return network;
}

SeriesRecord record_of(std::vector<float> values) {
  return unchecked_record(
      RainTable(StepAxis(kBegin + std::chrono::hours(1), std::chrono::hours(1), 4), 4,
                std::move(values)),
      Quality::good);
}

Finding finding_of(std::size_t gauge, Tier tier, bool lasting, double observed, double expected) {
  Finding finding;
  finding.gauge = gauge;
  finding.kind = FindingKind::blocked;
  finding.tier = tier;
  finding.from = kBegin;
  if (!lasting) finding.to = kBegin + std::chrono::hours(2);
  finding.observed_mm = observed;
  finding.expected_mm = expected;
  return finding;
}

TEST(GaugeOverview, AddsUpWhatWasReadAndMissed) {
  SeriesRecord record = record_of({1, 2, 0, kMissing, 1, 1, 1, 1, 0, 0, 0, 0, 2, 2, 2, 2});
  record.depth.set(0, 3, 4);
  record.quality.at(0, 3) = Quality::estimate;
  const auto rows = gauge_overview(four_gauges(), record, {}, {}, {});
  EXPECT_DOUBLE_EQ(rows[0].observed_mm, 3);
  EXPECT_DOUBLE_EQ(rows[0].total_mm, 7);
  EXPECT_DOUBLE_EQ(rows[0].share_missing, 0.25);
  EXPECT_DOUBLE_EQ(rows[0].share_estimated, 0.25);
  EXPECT_DOUBLE_EQ(rows[3].observed_mm, 8);
}

TEST(GaugeOverview, HasNoTotalWhereAStepIsMissing) {
  const auto rows = gauge_overview(
      four_gauges(), record_of({1, 2, 0, kMissing, 1, 1, 1, 1, 0, 0, 0, 0, 2, 2, 2, 2}), {}, {},
      {});
  EXPECT_TRUE(std::isnan(rows[0].total_mm));
  EXPECT_EQ(rows[0].visit_rank, 1U);
  EXPECT_EQ(rows[0].visit_reason, "25.0 % of the steps are missing");
  EXPECT_EQ(rows[1].visit_reason, "not checked here");
}

TEST(GaugeOverview, FollowsTheOrderOfTheVisits) {
  const std::vector<Finding> findings{finding_of(0, Tier::provisional, true, 0, 90),
                                      finding_of(2, Tier::confirmed, false, 0, 5)};
  const std::vector<Visit> visits{{.gauge = 2, .finding = 1}, {.gauge = 0, .finding = 0}};
  const auto rows =
      gauge_overview(four_gauges(), record_of(std::vector<float>(16, 1)), findings, visits, {});
  EXPECT_EQ(rows[2].visit_rank, 1U);
  EXPECT_EQ(rows[0].visit_rank, 2U);
  EXPECT_EQ(rows[1].visit_rank, 3U);
  EXPECT_EQ(rows[0].visit_reason, "provisional blocked, 2021-03-04T00:00:00Z and lasting");
  EXPECT_EQ(rows[2].visit_reason,
            "confirmed blocked, 2021-03-04T00:00:00Z to 2021-03-04T02:00:00Z");
  EXPECT_EQ(rows[1].visit_reason, "not checked here");
}

TEST(GaugeOverview, SaysWhatWouldHaveBeenNoticed) {
  std::vector<GaugeSummary> summaries(4);
  for (GaugeSummary& summary : summaries) summary.share_testable = 1;
  summaries[0].smallest_block_mm = 4.04;
  summaries[2].share_testable = 0;
  summaries[3].smallest_block_mm = 4.04;
  summaries[3].smallest_step_percent = 12.3;
  const auto rows =
      gauge_overview(four_gauges(), record_of(std::vector<float>(16, 1)), {}, {}, summaries);
  EXPECT_EQ(rows[0].visit_reason, "nothing found; a full block would have shown after 4.0 mm");
  EXPECT_EQ(rows[1].visit_reason,
            "nothing found, but not even a full block would have been noticed");
  EXPECT_EQ(rows[2].visit_reason, "not testable: too few neighbours");
  EXPECT_EQ(rows[3].visit_reason,
            "nothing found; a full block would have shown after 4.0 mm, a fall of calibration from "
            "12 % on");
}

TEST(GaugeOverview, DoesNotCountWhatCouldNotBeTested) {
  Finding finding = finding_of(0, Tier::provisional, false, 0, 0);
  finding.kind = FindingKind::not_testable;
  const std::vector<Finding> findings{finding};
  const auto rows =
      gauge_overview(four_gauges(), record_of(std::vector<float>(16, 1)), findings, {}, {});
  EXPECT_EQ(rows[0].provisional, 0U);
  EXPECT_EQ(rows[0].visit_reason, "not checked here");
}

}  // namespace
}  // namespace gaugeloom
