// The laws of checks/reviewed.hpp on a seeded network with a block and a clock an hour late.
#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>

#include "gaugeloom/checks/reviewed.hpp"
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
  const RainTable table = faulty();
  std::vector<Decision> decisions = decide_all(outcome_of(network(), table, {}).check);
  ASSERT_GE(decisions.size(), 2U);
  const Outcome first = outcome_of(network(), table, decisions);
  EXPECT_TRUE(first.check.moved);
  for (const ReplayedDecision& one : first.check.decisions)
    EXPECT_NE(one.outcome, DecisionOutcome::stale) << one.decision.finding_id;
  EXPECT_EQ(all_said(outcome_of(network(), table, decisions).check), all_said(first.check));
  std::ranges::reverse(decisions);
  EXPECT_EQ(all_said(outcome_of(network(), table, decisions).check), all_said(first.check));
}

TEST(ReviewedProperty, DoesNotDependOnTheOrderOfTheGauges) {
  const RainTable table = faulty();
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

TEST(ReviewedProperty, StaysAppliedAsTheRecordGrows) {
  const RainTable table = faulty();
  const RainTable early = slice(table, 0, day_step(60));
  const std::vector<Decision> decisions = decide_all(outcome_of(network(), early, {}).check);
  ASSERT_GE(decisions.size(), 2U);
  std::size_t applied = 0;
  for (const std::size_t days : {70, 80, 90}) {
    SCOPED_TRACE(days);
    const ReviewedCheck check =
        outcome_of(network(), slice(table, 0, day_step(days)), decisions).check;
    for (const ReplayedDecision& one : check.decisions) {
      EXPECT_NE(one.outcome, DecisionOutcome::stale) << one.decision.finding_id << one.why;
      if (one.outcome == DecisionOutcome::applied) ++applied;
    }
  }
  EXPECT_GE(applied, 6U);  // the block and the clock are found at each length
}

}  // namespace
}  // namespace gaugeloom
