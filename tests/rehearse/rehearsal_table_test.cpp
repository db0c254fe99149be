#include "gaugeloom/rehearse/rehearsal_table.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace gaugeloom {
namespace {

constexpr std::chrono::minutes kStep(15);

FaultOutcome block(std::size_t gauge, double hidden, double at_call) {
  FaultOutcome outcome;
  outcome.fault.gauge = outcome.fault.other = gauge;
  outcome.hidden_mm = outcome.rain_mm = hidden;
  outcome.found = !std::isnan(at_call);
  outcome.kind = FindingKind::blocked;
  outcome.hidden_at_call_mm = at_call;
  outcome.onset_error_mm = 0.2;
  outcome.storms_to_call = 1;
  return outcome;
}

Rehearsal four_blocks() {
  Rehearsal rehearsal;
  rehearsal.untouched.resize(2);
  rehearsal.neighbours.resize(fault_variants().size());
  rehearsal.outcomes = {block(0, 30, 4), block(0, 7, FaultOutcome::kNone), block(1, 20, 8),
                        block(1, 40, FaultOutcome::kNone)};
  rehearsal.untouched[0] = {2, 1, 3.5};
  rehearsal.untouched[1] = {1, 0, 1.5};
  return rehearsal;
}

TEST(RehearsalTable, CountsWhatWasFoundBeforeSoManyMm) {
  const RehearsalRow row = rehearsal_rows(four_blocks(), kStep).front();
  EXPECT_EQ(row.planted, 4U);
  EXPECT_EQ(row.telling, 3U);  // one hid 7 mm only
  EXPECT_NEAR(row.found, 2.0 / 3, 1e-12);
  EXPECT_NEAR(row.before_5_mm, 1.0 / 4, 1e-12);   // of the four that hid 5 mm
  EXPECT_NEAR(row.before_10_mm, 2.0 / 3, 1e-12);  // of the three that hid 10 mm
  EXPECT_EQ(row.median_mm, 8);
  EXPECT_TRUE(std::isinf(row.p90_mm));  // one was never called
  EXPECT_EQ(row.called_as, "blocked");
}

TEST(RehearsalTable, HasARowForWhatWasNeverPlanted) {
  const auto rows = rehearsal_rows(four_blocks(), kStep);
  ASSERT_EQ(rows.size(), fault_variants().size());
  EXPECT_EQ(rows.back().planted, 0U);
  EXPECT_TRUE(std::isnan(rows.back().found));
  EXPECT_TRUE(std::isnan(rows.back().median_mm));
}

TEST(RehearsalTable, TellsGaugesApart) {
  const auto gauges = gauge_rehearsals(four_blocks());
  ASSERT_EQ(gauges.size(), 2U);
  EXPECT_EQ(gauges[0].blocks, 2U);
  EXPECT_EQ(gauges[0].telling, 1U);
  EXPECT_EQ(gauges[0].before_10_mm, 1);
  EXPECT_EQ(gauges[1].before_10_mm, 0.5);
  EXPECT_EQ(gauges[1].before_5_mm, 0);
  EXPECT_EQ(gauges[0].untouched.any, 2U);
}

TEST(RehearsalTable, AddsUpFalseCalls) {
  const FalseCalls calls = false_calls(four_blocks());
  EXPECT_EQ(calls.any, 3U);
  EXPECT_EQ(calls.confirmed, 1U);
  EXPECT_EQ(calls.gauge_years, 5);
}

}  // namespace
}  // namespace gaugeloom
