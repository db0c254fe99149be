#include "gaugeloom/checks/reviewed.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/io/sha256.hpp"
#include "gaugeloom/rain/test_tips.hpp"
#include "support/check_cases.hpp"

namespace gaugeloom {
namespace {

using support::day_step;

constexpr std::size_t kBlocked = 4;  // rows of the gauges with planted faults
constexpr std::size_t kLate = 14;

// The healthy network with a block and a clock an hour late from day 10 on.
const RainTable& faulty() {
  static const RainTable table = [] {
    RainTable out = support::healthy_network().table;
    for (std::size_t i = day_step(20); i < day_step(50); ++i) out.set(kBlocked, i, 0);
    const RainTable& true_rain = support::healthy_network().table;
    for (std::size_t i = day_step(10) + 4; i < out.step_count(); ++i)
      out.set(kLate, i, true_rain.depth_mm(kLate, i - 4));
    return out;
  }();
  return table;
}

const Network& network() { return support::healthy_network().network; }

struct Outcome {
  RainRecord record;
  ReviewedCheck check;
};

Outcome outcome_of(const RainTable& table, std::span<const Decision> decisions) {
  Outcome out;
  out.record.depths = table;
  out.check = check_reviewed(network(), out.record, decisions, sha256_of_text);
  return out;
}

const Outcome& undecided() {
  static const Outcome out = outcome_of(faulty(), {});
  return out;
}

// The row of the one finding of a gauge and kind.
std::size_t row_of(const ReviewedCheck& check, std::size_t gauge, FindingKind kind) {
  const auto found = std::ranges::find_if(
      check.result.findings, [&](const Finding& f) { return f.gauge == gauge && f.kind == kind; });
  return static_cast<std::size_t>(found - check.result.findings.begin());
}

Decision decided(std::size_t gauge, FindingKind kind, Verdict verdict, double shift_minutes = 0) {
  const ReviewedCheck& check = undecided().check;
  const std::size_t row = row_of(check, gauge, kind);
  EXPECT_LT(row, check.reviews.size());
  const Finding& finding = check.result.findings[row];
  Decision out;
  out.finding_id = check.reviews[row].finding_id;
  out.gauge = gauge;
  out.kind = kind;
  out.from = finding.from;
  out.to = finding.to;
  out.verdict = verdict;
  out.shift_minutes = shift_minutes;
  out.reason = "seen on site";
  out.by = "N. R.";
  out.on = "2024-01-05";
  out.evidence_hash = check.reviews[row].evidence_hash;
  out.written = {"decisions.csv", 2, 1};
  return out;
}

std::size_t steps_of(const ReviewedCheck& check, std::size_t gauge, Quality quality) {
  const std::size_t steps = check.result.quality.steps;
  const auto row = std::span(check.result.quality.values).subspan(gauge * steps, steps);
  return static_cast<std::size_t>(std::ranges::count(row, quality));
}

// A thousandth of a mm more at the nearest neighbour, in the first step of the finding.
void touch_neighbour(RainTable& table, const Decision& decision) {
  const ReviewedCheck& check = undecided().check;
  const std::size_t neighbour =
      check.result.findings[row_of(check, decision.gauge, decision.kind)].neighbours.at(0);
  const std::size_t first = table.axis().touching({decision.from, Instant::max()}).first;
  table.set(neighbour, first, table.depth_mm(neighbour, first) + 0.001F);
}

TEST(Reviewed, ConfirmsWhatIsAccepted) {
  // As a call of the checks that stayed provisional.
  Decision accept = decided(kBlocked, FindingKind::blocked, Verdict::accept);
  const Outcome out = outcome_of(faulty(), std::vector{accept});
  const std::size_t row = row_of(out.check, kBlocked, FindingKind::blocked);
  ASSERT_LT(row, out.check.reviews.size());
  EXPECT_EQ(out.check.result.findings[row].tier, Tier::confirmed);
  EXPECT_EQ(out.check.reviews[row].decision, "accepted by N. R. on 2024-01-05");
  ASSERT_EQ(out.check.decisions.size(), 1U);
  EXPECT_EQ(out.check.decisions[0].outcome, DecisionOutcome::applied);
  EXPECT_EQ(out.check.decisions[0].evidence_hash, accept.evidence_hash);
  EXPECT_GT(steps_of(out.check, kBlocked, Quality::poor), 0U);
  EXPECT_FALSE(out.check.moved);
}

TEST(Reviewed, TakesOutWhatIsRejectedAndKeepsItOnRecord) {
  const Outcome out =
      outcome_of(faulty(), std::vector{decided(kBlocked, FindingKind::blocked, Verdict::reject)});
  EXPECT_EQ(row_of(out.check, kBlocked, FindingKind::blocked), out.check.result.findings.size());
  EXPECT_EQ(out.check.result.findings.size() + 1, undecided().check.result.findings.size());
  EXPECT_EQ(steps_of(out.check, kBlocked, Quality::poor), 0U);
  EXPECT_EQ(steps_of(out.check, kBlocked, Quality::suspect), 0U);
  EXPECT_GT(steps_of(out.check, kBlocked, Quality::good),
            steps_of(undecided().check, kBlocked, Quality::good));
  ASSERT_EQ(out.check.decisions.size(), 1U);
  const ReplayedDecision& replayed = out.check.decisions[0];
  const std::size_t row = row_of(undecided().check, kBlocked, FindingKind::blocked);
  const Finding& before = undecided().check.result.findings[row];
  ASSERT_TRUE(replayed.found);
  EXPECT_EQ(replayed.found->tier, before.tier);
  EXPECT_EQ(replayed.found->score, before.score);
  EXPECT_EQ(replayed.found->reason, before.reason);
  EXPECT_EQ(out.record.counted.gauge_count(), 0U);
}

TEST(Reviewed, PutsReadingsRightInTime) {
  ASSERT_LT(row_of(undecided().check, kLate, FindingKind::clock_offset),
            undecided().check.reviews.size());
  Decision shift = decided(kLate, FindingKind::clock_offset, Verdict::shift, 60);
  shift.from = faulty().axis().begin(day_step(10) + 4);  // when its clock went wrong
  const Outcome out = outcome_of(faulty(), std::vector{shift});
  EXPECT_TRUE(out.check.moved);
  EXPECT_EQ(row_of(out.check, kLate, FindingKind::clock_offset), out.check.result.findings.size());
  ASSERT_EQ(out.check.decisions[0].outcome, DecisionOutcome::applied);
  const std::size_t steps = faulty().step_count();
  for (std::size_t i = 0; i < steps; ++i) {
    if (i < steps - 4)
      ASSERT_EQ(out.record.depths.depth_mm(kLate, i),
                support::healthy_network().table.depth_mm(kLate, i))
          << i;
    else
      ASSERT_FALSE(out.record.depths.is_measured(kLate, i));
    ASSERT_EQ(out.record.counted.depth_mm(kLate, i), faulty().depth_mm(kLate, i));
  }
  // The first four meet what was read before the clock went wrong.
  EXPECT_EQ(out.check.decisions[0].why.find(std::to_string(steps - day_step(10) - 8) +
                                            " readings stand 60 minutes earlier now. 4 with "),
            0U);
}

// A visit while it rains by the clock that is an hour late: what was poured is stamped an hour
// after it, and what is stamped during the visit fell an hour before.
TEST(Reviewed, LooksForTestTipsWhereTheyStandInTruth) {
  const RainTable& true_rain = support::healthy_network().table;
  std::size_t visited = day_step(30);
  while (!(true_rain.depth_mm(kLate, visited - 4) > 0)) ++visited;
  SiteVisit visit;
  visit.gauge = kLate;
  visit.over = true_rain.axis().interval(visited);
  visit.action = VisitAction::calibrated;
  Unmasked unmasked;
  unmasked.record.depths = faulty();
  unmasked.record.depths.set(kLate, visited + 4, 5);
  unmasked.mask = [&](RainRecord& record) { mask_test_tips(record, std::span(&visit, 1)); };
  RainRecord record = unmasked.record;
  unmasked.mask(record);
  EXPECT_FALSE(record.depths.is_measured(kLate, visited));
  Decision shift = decided(kLate, FindingKind::clock_offset, Verdict::shift, 60);
  shift.from = faulty().axis().begin(day_step(10) + 4);
  shift.evidence_hash.clear();
  const ReviewedCheck check =
      check_reviewed(network(), record, std::vector{shift}, sha256_of_text, {}, nullptr, unmasked);
  ASSERT_TRUE(check.moved);
  EXPECT_FALSE(record.depths.is_measured(kLate, visited));
  EXPECT_EQ(check.result.quality.at(kLate, visited), Quality::missing);
  for (const std::size_t step : {visited - 4, visited + 4})
    EXPECT_EQ(record.depths.depth_mm(kLate, step), true_rain.depth_mm(kLate, step));
  EXPECT_EQ(record.counted.depth_mm(kLate, visited + 4), 5);  // as stamped
  EXPECT_TRUE(record.refused.empty());
}

TEST(Reviewed, AsksAgainWhenTheDataBehindAFindingChanged) {
  RainTable table = faulty();
  const Decision reject = decided(kBlocked, FindingKind::blocked, Verdict::reject);
  touch_neighbour(table, reject);
  const Outcome out = outcome_of(table, std::vector{reject});
  ASSERT_EQ(out.check.decisions[0].outcome, DecisionOutcome::stale);
  EXPECT_NE(out.check.decisions[0].evidence_hash, reject.evidence_hash);
  EXPECT_TRUE(out.check.decisions[0].found);
  const std::size_t row = row_of(out.check, kBlocked, FindingKind::blocked);
  ASSERT_LT(row, out.check.reviews.size());
  EXPECT_EQ(out.check.reviews[row].decision, "");
}

TEST(Reviewed, HoldsWithoutAHashAsLongAsItIsFound) {
  RainTable table = faulty();
  Decision reject = decided(kBlocked, FindingKind::blocked, Verdict::reject);
  reject.evidence_hash.clear();
  touch_neighbour(table, reject);
  EXPECT_EQ(outcome_of(table, std::vector{reject}).check.decisions[0].outcome,
            DecisionOutcome::applied);
}

TEST(Reviewed, SaysWhatIsFoundInPlaceOfWhatIsNot) {
  Decision other = decided(kBlocked, FindingKind::blocked, Verdict::accept);
  const std::string found = other.finding_id;
  other.finding_id = network().gauges[kBlocked].id + "-partly_blocked-20231020T0000Z";
  other.kind = FindingKind::partly_blocked;
  Decision nothing = decided(kBlocked, FindingKind::blocked, Verdict::reject);
  nothing.gauge = 0;
  nothing.finding_id = network().gauges[0].id + "-blocked-20231020T0000Z";
  const Outcome out = outcome_of(faulty(), std::vector{other, nothing});
  ASSERT_EQ(out.check.decisions.size(), 2U);
  EXPECT_EQ(out.check.decisions[0].decision.finding_id, nothing.finding_id);  // by gauge id
  EXPECT_EQ(out.check.decisions[0].why, "The checks do not find it now.");
  EXPECT_EQ(out.check.decisions[1].outcome, DecisionOutcome::not_found);
  EXPECT_FALSE(out.check.decisions[1].found);
  EXPECT_EQ(out.check.decisions[1].why, "The checks do not find it now, but " + found +
                                            ", which shares time with it; decide about that one.");
}

TEST(Reviewed, RefusesShiftsThatCannotBeMade) {
  const Decision part = decided(kBlocked, FindingKind::blocked, Verdict::shift, 20);
  try {
    outcome_of(faulty(), std::vector{part});
    FAIL() << "accepted";
  } catch (const Error& error) {
    EXPECT_STREQ(error.what(),
                 "decisions.csv:2:1: a shift of 20 minutes is no whole number of steps of 15min; "
                 "round it to one");
  }
  // The reader lets no finding be decided twice; here only their spans matter.
  const Decision twice = decided(kLate, FindingKind::clock_offset, Verdict::shift, 60);
  EXPECT_THROW(outcome_of(faulty(), std::vector{twice, twice}), Error);
}

TEST(Reviewed, SaysNothingOfAnEmptyRecord) {
  RainRecord record;
  record.depths = RainTable(StepAxis(), network().size());
  const std::vector<Decision> one = {decided(kBlocked, FindingKind::blocked, Verdict::accept)};
  const ReviewedCheck check = check_reviewed(network(), record, one, sha256_of_text);
  ASSERT_EQ(check.decisions.size(), 1U);
  EXPECT_EQ(check.decisions[0].outcome, DecisionOutcome::not_found);
  EXPECT_EQ(check.decisions[0].why, "Nothing was checked.");
}

}  // namespace
}  // namespace gaugeloom
