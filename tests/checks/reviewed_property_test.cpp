// The laws of checks/reviewed.hpp on a seeded network with a block and a clock an hour late.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "gaugeloom/checks/reviewed.hpp"
#include "gaugeloom/expect/expected_depths.hpp"
#include "gaugeloom/expect/gathered_depths.hpp"
#include "gaugeloom/expect/long_sums.hpp"
#include "gaugeloom/io/sha256.hpp"
#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

using support::day_step;

constexpr std::size_t kBlocked = 4;
constexpr std::size_t kLate = 14;

RainTable faulty() {
  const RainTable& healthy = support::healthy_network().table;
  RainTable table = healthy;
  for (std::size_t i = day_step(20); i < day_step(85); ++i) table.set(kBlocked, i, 0);
  for (std::size_t i = 4; i < table.step_count(); ++i)
    table.set(kLate, i, healthy.depth_mm(kLate, i - 4));
  return table;
}

struct Outcome {
  RainRecord record;
  ReviewedCheck check;
};

Outcome outcome_of(const Network& network, const RainTable& table,
                   std::span<const Decision> decisions) {
  Outcome out;
  out.record.depths = table;
  out.check = check_reviewed(network, out.record, decisions, sha256_of_text);
  return out;
}

// The first 60 days of a table: enough where nothing has to grow.
RainTable sixty_days(const RainTable& table) { return slice(table, 0, day_step(60)); }

const Network& network() { return support::healthy_network().network; }

// One decision about every finding of a check: shifts of clocks, the rest by turns.
std::vector<Decision> decide_all(const ReviewedCheck& check) {
  std::vector<Decision> all;
  for (std::size_t row = 0; row < check.reviews.size(); ++row) {
    const Finding& finding = check.result.findings[row];
    Decision one;
    one.finding_id = check.reviews[row].finding_id;
    one.gauge = finding.gauge;
    one.kind = finding.kind;
    one.from = finding.from;
    one.to = finding.to;
    one.verdict = row % 2 == 0 ? Verdict::reject : Verdict::accept;
    if (finding.kind == FindingKind::clock_offset) {
      one.verdict = Verdict::shift;
      one.shift_minutes = finding.shift_minutes;
    }
    one.reason = "seen";
    one.by = "N. R.";
    one.on = "2024-01-05";
    one.evidence_hash = check.reviews[row].evidence_hash;
    all.push_back(one);
  }
  return all;
}

// Everything a finding says, and every quality, as one text.
std::string all_said(const ReviewedCheck& check) {
  std::string text;
  for (std::size_t i = 0; i < check.result.findings.size(); ++i) {
    const Finding& f = check.result.findings[i];
    text += check.reviews[i].finding_id + " " + check.reviews[i].evidence_hash + " " +
            check.reviews[i].decision + " " + std::string(word(f.tier)) + " " +
            std::to_string(f.score) + " " + f.reason + "\n";
  }
  for (const ReplayedDecision& one : check.decisions)
    text += one.decision.finding_id + " " + std::string(word(one.outcome)) + " " + one.why + " " +
            one.evidence_hash + "\n";
  for (const Quality quality : check.result.quality.values) text += word(quality)[0];
  return text;
}

TEST(ReviewedProperty, NoDecisionsAreTheCheckAlone) {
  const RainTable table = faulty();
  const CheckResult plain = support::checked(table);
  const Outcome out = outcome_of(network(), table, {});
  ASSERT_EQ(out.check.result.findings.size(), plain.findings.size());
  for (std::size_t i = 0; i < plain.findings.size(); ++i) {
    EXPECT_EQ(out.check.result.findings[i].score, plain.findings[i].score);
    EXPECT_EQ(out.check.result.findings[i].tier, plain.findings[i].tier);
    EXPECT_EQ(out.check.reviews[i].decision, "");
  }
  EXPECT_TRUE(std::ranges::equal(out.check.result.quality.values, plain.quality.values));
  EXPECT_TRUE(out.check.decisions.empty());
}

TEST(ReviewedProperty, DecidedAllTheSameWhateverTheOrder) {
  const RainTable table = sixty_days(faulty());
  std::vector<Decision> decisions = decide_all(outcome_of(network(), table, {}).check);
  ASSERT_GE(decisions.size(), 2U);
  const Outcome first = outcome_of(network(), table, decisions);
  EXPECT_TRUE(first.check.moved);
  for (const ReplayedDecision& one : first.check.decisions)
    EXPECT_NE(one.outcome, DecisionOutcome::stale) << one.decision.finding_id;
  std::ranges::reverse(decisions);
  EXPECT_EQ(all_said(outcome_of(network(), table, decisions).check), all_said(first.check));
}

TEST(ReviewedProperty, DoesNotDependOnTheOrderOfTheGauges) {
  const RainTable table = sixty_days(faulty());
  const std::vector<Decision> decisions = decide_all(outcome_of(network(), table, {}).check);
  Network turned = network();
  RainTable turned_table = table;
  std::ranges::reverse(turned.gauges);
  const std::size_t last = network().size() - 1;
  for (std::size_t gauge = 0; gauge <= last; ++gauge)
    for (std::size_t i = 0; i < table.step_count(); ++i)
      turned_table.set(gauge, i, table.depth_mm(last - gauge, i));
  std::vector<Decision> turned_decisions = decisions;
  for (Decision& one : turned_decisions) one.gauge = last - one.gauge;
  const Outcome a = outcome_of(network(), table, decisions);
  const Outcome b = outcome_of(turned, turned_table, turned_decisions);
  ASSERT_EQ(a.check.decisions.size(), b.check.decisions.size());
  for (std::size_t i = 0; i < a.check.decisions.size(); ++i) {
    EXPECT_EQ(a.check.decisions[i].decision.finding_id, b.check.decisions[i].decision.finding_id);
    EXPECT_EQ(a.check.decisions[i].why, b.check.decisions[i].why);
    EXPECT_EQ(a.check.decisions[i].evidence_hash, b.check.decisions[i].evidence_hash);
  }
}

// What the neighbours lead us to expect of every gauge over its testable hours, when none is left
// out of the estimates.
std::vector<double> expected_by_all(const RainTable& table) {
  const RainTable hours = gathered_depths(table, std::chrono::hours(1));
  const Neighbourhoods around = neighbourhoods(network());
  const Exclusions none(network().size(), hours.step_count());
  std::vector<double> bucket_mm;
  for (const Gauge& gauge : network().gauges) bucket_mm.push_back(gauge.bucket_mm);
  SiteRatios sites(network().size());
  const auto expected = [&] { return expected_depths(hours, around, sites, none, 1); };
  for (int pass = 0; pass < 2; ++pass)
    sites = refined_site_ratios(block_sums(hours, expected(), none, std::chrono::hours(24)),
                                bucket_mm, sites);
  std::vector<double> sums(network().size(), 0);
  const ExpectedDepths depths = expected();
  for (std::size_t gauge = 0; gauge < sums.size(); ++gauge)
    for (std::size_t hour = 0; hour < hours.step_count(); ++hour)
      if (hours.is_measured(gauge, hour) && !std::isnan(depths.depth_at(gauge, hour)))
        sums[gauge] += static_cast<double>(depths.depth_at(gauge, hour));
  return sums;
}

double largest_difference(const CheckResult& result, const std::vector<double>& expected_mm) {
  double largest = 0;
  for (std::size_t gauge = 0; gauge < expected_mm.size(); ++gauge)
    largest = std::max(largest, std::abs(result.gauges[gauge].expected_mm - expected_mm[gauge]));
  return largest;
}

TEST(ReviewedProperty, RejectedRainSpeaksForItsNeighboursAsIfItWereNeverSuspected) {
  RainTable table = sixty_days(support::healthy_network().table);
  for (std::size_t i = day_step(20); i < day_step(50); ++i) table.set(kBlocked, i, 0);
  const std::vector<double> expected_mm = expected_by_all(table);
  const Outcome undecided = outcome_of(network(), table, {});
  EXPECT_GT(largest_difference(undecided.check.result, expected_mm), 1);
  std::vector<Decision> decisions = decide_all(undecided.check);
  ASSERT_FALSE(decisions.empty());
  for (Decision& one : decisions) one.verdict = Verdict::reject;
  const Outcome out = outcome_of(network(), table, decisions);
  EXPECT_TRUE(out.check.result.findings.empty());
  EXPECT_LT(largest_difference(out.check.result, expected_mm), 1e-6);
  EXPECT_EQ(std::ranges::count(out.check.result.quality.values, Quality::suspect), 0);
  EXPECT_EQ(std::ranges::count(out.check.result.quality.values, Quality::poor), 0);
  for (const ReplayedDecision& one : out.check.decisions)
    EXPECT_EQ(one.outcome, DecisionOutcome::applied) << one.decision.finding_id;
}

// Three gauges are silent for ten days. Once their silence is taken for true, the gauge amid them
// has read too much; that too can be rejected in the same run.
TEST(ReviewedProperty, ReplaysWhatIsFoundOnlyWhenOthersAreRejected) {
  RainTable table = sixty_days(support::healthy_network().table);
  const Neighbourhoods around = neighbourhoods(network());
  for (std::size_t n = 0; n < 3; ++n)
    for (std::size_t i = day_step(20); i < day_step(30); ++i)
      table.set(around.of[kBlocked][n].gauge, i, 0);
  const Outcome undecided = outcome_of(network(), table, {});
  std::vector<Decision> decisions = decide_all(undecided.check);
  for (Decision& one : decisions) one.verdict = Verdict::reject;
  Decision amid = decisions.at(0);
  amid.gauge = kBlocked;
  amid.kind = FindingKind::reads_high;
  amid.from = table.axis().begin(0);
  amid.finding_id = network().gauges[kBlocked].id + "-reads_high-20231001T0000Z";
  amid.evidence_hash.clear();
  const auto is_amid = [&](const FindingReview& one) { return one.finding_id == amid.finding_id; };
  EXPECT_TRUE(std::ranges::none_of(undecided.check.reviews, is_amid));
  const Outcome three = outcome_of(network(), table, decisions);
  EXPECT_TRUE(std::ranges::any_of(three.check.reviews, is_amid));
  decisions.push_back(amid);
  const Outcome all = outcome_of(network(), table, decisions);
  EXPECT_TRUE(all.check.result.findings.empty());
  for (const ReplayedDecision& one : all.check.decisions)
    EXPECT_EQ(one.outcome, DecisionOutcome::applied) << one.decision.finding_id;
}

TEST(ReviewedProperty, StaysAppliedAsTheRecordGrows) {
  const RainTable table = faulty();
  const RainTable early = sixty_days(table);
  const std::vector<Decision> decisions = decide_all(outcome_of(network(), early, {}).check);
  ASSERT_GE(decisions.size(), 2U);
  std::size_t applied = 0;
  for (const std::size_t days : {70, 80}) {
    SCOPED_TRACE(days);
    const ReviewedCheck check =
        outcome_of(network(), slice(table, 0, day_step(days)), decisions).check;
    for (const ReplayedDecision& one : check.decisions) {
      EXPECT_NE(one.outcome, DecisionOutcome::stale) << one.decision.finding_id << one.why;
      if (one.outcome == DecisionOutcome::applied) ++applied;
    }
  }
  EXPECT_GE(applied, 4U);  // the block and the clock are found at each length
}

}  // namespace
}  // namespace gaugeloom
