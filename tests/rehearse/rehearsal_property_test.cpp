#include "gaugeloom/rehearse/rehearsal.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/rehearse/record_parts.hpp"
#include "gaugeloom/rehearse/rehearsal_table.hpp"
#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

RainRecord hourly() {
  RainRecord record;
  record.depths = sums(support::healthy_network().table, 4);
  return record;
}

RehearsalOptions few(int threads = 0) {
  RehearsalOptions options;
  options.faults_per_kind = 2;
  options.threads = threads;
  return options;
}

const Network& network() { return support::healthy_network().network; }

const Rehearsal& rehearsed() {
  static const Rehearsal result = rehearse(network(), hourly(), few(3));
  return result;
}

bool equal(double a, double b) { return a == b || (a != a && b != b); }

void expect_same(const Rehearsal& a, const Rehearsal& b) {
  ASSERT_EQ(a.outcomes.size(), b.outcomes.size());
  for (std::size_t i = 0; i < a.outcomes.size(); ++i) {
    const FaultOutcome& x = a.outcomes[i];
    const FaultOutcome& y = b.outcomes[i];
    EXPECT_EQ(x.fault.gauge, y.fault.gauge);
    EXPECT_EQ(x.fault.over.first, y.fault.over.first);
    EXPECT_EQ(x.found, y.found);
    EXPECT_TRUE(equal(x.hidden_at_call_mm, y.hidden_at_call_mm));
    EXPECT_TRUE(equal(x.dry_sum_hidden_mm, y.dry_sum_hidden_mm));
  }
  EXPECT_EQ(false_calls(a).any, false_calls(b).any);
  EXPECT_EQ(a.dry_sum_threshold_mm, b.dry_sum_threshold_mm);
  ASSERT_EQ(a.fill.windows.size(), b.fill.windows.size());
  EXPECT_EQ(a.fill.windows[0].fill.rmse_mm, b.fill.windows[0].fill.rmse_mm);
  EXPECT_EQ(a.fill.windows[0].crps_mm, b.fill.windows[0].crps_mm);
  EXPECT_EQ(a.fill.pit.share, b.fill.pit.share);
}

TEST(Rehearsal, ComesAgainForAnyNumberOfThreadsAndDiffersWithAnotherSeed) {
  expect_same(rehearse(network(), hourly(), few(1)), rehearsed());
  RehearsalOptions other = few(3);
  other.seed = 2;
  const Rehearsal second = rehearse(network(), hourly(), other);
  ASSERT_FALSE(second.outcomes.empty());
  EXPECT_NE(second.outcomes[0].fault.over.first, rehearsed().outcomes[0].fault.over.first);
}

// What a part is scored with is learned from the others alone: other rain in it changes nothing.
TEST(Rehearsal, NeverLearnsFromWhatItScores) {
  const RainRecord record = hourly();
  const auto parts = record_parts(record.depths.axis(), 2);
  ASSERT_EQ(parts.size(), 2U);
  RainRecord other = record;
  for (std::size_t gauge = 0; gauge < network().size(); ++gauge) {
    for (std::size_t step = parts[1].first; step < parts[1].last; ++step)
      other.depths.set(gauge, step, static_cast<float>((gauge * 7 + step) % 5));
  }
  const LearnedNulls one = check_network(network(), without_part(record, parts[1])).nulls;
  const LearnedNulls two = check_network(network(), without_part(other, parts[1])).nulls;
  EXPECT_EQ(one.sites.ratio, two.sites.ratio);
  ASSERT_EQ(one.thresholds.size(), two.thresholds.size());
  for (std::size_t i = 0; i < one.thresholds.size(); ++i) {
    EXPECT_EQ(one.thresholds[i].provisional, two.thresholds[i].provisional);
    EXPECT_EQ(one.thresholds[i].scales, two.thresholds[i].scales);
  }
  for (const double depth : {0.3, 2.0, 9.0}) {
    EXPECT_EQ(one.miss.nats(0, depth, 0.9, false), two.miss.nats(0, depth, 0.9, false));
    EXPECT_EQ(one.ratios.low_nats(depth, -1), two.ratios.low_nats(depth, -1));
  }
}

TEST(Rehearsal, FindsMostFullBlocksAndLeavesDecoysAlone) {
  const auto rows = rehearsal_rows(rehearsed(), std::chrono::hours(1));
  EXPECT_EQ(rows.front().fault, "full_block");
  ASSERT_GE(rows.front().telling, 20U);
  EXPECT_GE(rows.front().found, 0.9);
  EXPECT_LE(rows.front().median_mm, 10);
  EXPECT_LE(rows.front().median_onset_error_mm, 0.5);
  const auto decoy = std::find_if(rows.begin(), rows.end(), [](const RehearsalRow& row) {
    return row.fault == "missed_shower";
  });
  ASSERT_NE(decoy, rows.end());
  EXPECT_LT(decoy->found, 0.5);
}

TEST(Rehearsal, CountsTheTimeUnderWatch) {
  EXPECT_EQ(rehearsed().untouched.size(), network().size());
  EXPECT_NEAR(false_calls(rehearsed()).gauge_years, 30 * 90 / 365.25, 0.5);
}

TEST(Rehearsal, RefusesWhatItCannotDo) {
  for (const int parts : {-1, 1}) {
    RehearsalOptions options = few();
    options.parts = parts;
    EXPECT_THROW(rehearse(network(), hourly(), options), Error);
  }
  RainRecord day;
  day.depths = slice(hourly().depths, 0, 24);  // nothing is left to learn from
  EXPECT_THROW(rehearse(network(), day, few()), Error);
  RehearsalOptions none = few();
  none.faults_per_kind = 0;
  EXPECT_THROW(rehearse(network(), hourly(), none), Error);
}

TEST(Rehearsal, OfThreeGaugesHasNothingToSay) {
  RainRecord record = hourly();
  Network small = network();
  small.gauges.resize(3);
  RainRecord three;
  three.depths = RainTable(record.depths.axis(), 3);
  for (std::size_t g = 0; g < 3; ++g)
    for (std::size_t s = 0; s < record.depths.step_count(); ++s)
      three.depths.set(g, s, record.depths.depth_mm(g, s));
  const Rehearsal result = rehearse(small, three, few());
  EXPECT_EQ(false_calls(result).gauge_years, 0);  // two neighbours are too few to judge by
  for (const RehearsalRow& row : rehearsal_rows(result, std::chrono::hours(1)))
    EXPECT_FALSE(row.named_right > 0 && row.fault == "full_block");
}

}  // namespace
}  // namespace gaugeloom
