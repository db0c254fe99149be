#include "gaugeloom/rehearse/fault_outcome.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace gaugeloom {
namespace {

constexpr std::size_t kFullBlock = 0;  // the first of the variants

Instant hour(int hours) { return Instant{} + std::chrono::hours(hours); }

// One gauge, 1 mm in every hour of 10 days.
RainTable steady() {
  return {StepAxis(hour(1), std::chrono::hours(1), 240), 2, std::vector<float>(480, 1.0F)};
}

Finding blocked(int from, int to, int called) {
  Finding finding;
  finding.kind = FindingKind::blocked;
  finding.from = hour(from);
  finding.to = hour(to);
  finding.called = hour(called);
  return finding;
}

struct Case {
  RainTable truth = steady();
  RainTable injected = steady();
  InjectedFault fault{kFullBlock, 0, 0, {48, 144}};

  Case() {
    for (std::size_t s = 48; s < 144; ++s) injected.set(0, s, 0);
  }
  FaultOutcome score(const std::vector<Finding>& after, const std::vector<Finding>& before = {},
                     const std::vector<StormSpell>& storms = {}) const {
    return fault_outcome(truth, injected, fault, before, after, storms);
  }
};

TEST(FaultOutcome, CountsTheRainLostUntilTheCall) {
  ASSERT_EQ(fault_variants()[kFullBlock].kind, InjectedKind::full_block);
  const FaultOutcome outcome = Case().score({blocked(45, 144, 60)});
  EXPECT_TRUE(outcome.found);
  EXPECT_TRUE(outcome.named_right);
  EXPECT_FALSE(outcome.confirmed);
  EXPECT_EQ(outcome.hidden_mm, 96);
  EXPECT_EQ(outcome.hidden_at_call_mm, 12);
  EXPECT_EQ(outcome.onset_error_mm, 3);
}

TEST(FaultOutcome, TakesTheFirstCallButAnyConfirmation) {
  std::vector<Finding> after{blocked(48, 144, 100), blocked(48, 144, 50)};
  after[0].tier = Tier::confirmed;
  const FaultOutcome outcome = Case().score(after);
  EXPECT_EQ(outcome.hidden_at_call_mm, 2);
  EXPECT_TRUE(outcome.confirmed);
}

TEST(FaultOutcome, IsNotFoundByWhatWasCalledWithoutIt) {
  const std::vector<Finding> same{blocked(48, 144, 60)};
  EXPECT_FALSE(Case().score(same, same).found);
}

TEST(FaultOutcome, IsNotFoundBeforeItBeginsNorLongAfterItEnds) {
  EXPECT_FALSE(Case().score({blocked(10, 60, 48)}).found);
  EXPECT_FALSE(Case().score({blocked(100, 230, 220)}).found);
  EXPECT_FALSE(Case().score({blocked(10, 48, 60)}).found);  // over when the fault begins
  EXPECT_TRUE(Case().score({blocked(100, 230, 180)}).found);
}

TEST(FaultOutcome, IsNotFoundAtAnotherGauge) {
  Finding other = blocked(48, 144, 60);
  other.gauge = 1;
  EXPECT_FALSE(Case().score({other}).found);
  Finding silent = blocked(48, 144, 60);
  silent.kind = FindingKind::not_testable;
  EXPECT_FALSE(Case().score({silent}).found);
}

TEST(FaultOutcome, CountsTheStormsUntilTheCall) {
  std::vector<StormSpell> storms(4);
  storms[0].over = {hour(40), hour(47)};    // before the block
  storms[1].over = {hour(47), hour(52)};    // 4 mm of it under the block
  storms[2].over = {hour(55), hour(56)};    // 1 mm: too little
  storms[3].over = {hour(100), hour(110)};  // after the call
  EXPECT_EQ(Case().score({blocked(48, 144, 60)}, {}, storms).storms_to_call, 1U);
}

TEST(FaultOutcome, HidesWaterThatComesLate) {
  // What is let out later was hidden until then: 3 mm at the most, none in the end.
  const RainTable truth = steady();
  RainTable late = steady();
  for (std::size_t s = 10; s < 13; ++s) late.set(0, s, 0);
  for (std::size_t s = 13; s < 16; ++s) late.set(0, s, 2);
  EXPECT_EQ(hidden_mm(truth, late, 0, {hour(10), hour(11)}), 1);
  EXPECT_EQ(hidden_mm(truth, late, 0, {hour(10), hour(16)}), 3);
  late.set_missing(0, 11);
  EXPECT_EQ(hidden_mm(truth, late, 0, {hour(10), hour(16)}), 2);
}

TEST(FaultOutcome, TellsHowFarAClockIsOff) {
  std::size_t variant = 0;
  while (fault_variants()[variant].kind != InjectedKind::clock_shift ||
         fault_variants()[variant].size != 60)
    ++variant;
  Case shifted;
  shifted.fault.variant = variant;
  Finding finding = blocked(48, 144, 100);
  finding.kind = FindingKind::clock_offset;
  finding.shift_minutes = 50;
  const FaultOutcome outcome = shifted.score({finding});
  EXPECT_EQ(outcome.shift_error_minutes, -10);
  EXPECT_TRUE(outcome.is_telling());  // 96 mm fell
}

}  // namespace
}  // namespace gaugeloom
