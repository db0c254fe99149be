#include "gaugeloom/tips/counter_verdict.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/core/random.hpp"

namespace gaugeloom {
namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

CounterVerdict usual(CounterReason why) { return {false, why}; }
CounterVerdict other(CounterReason why) { return {true, why}; }

TEST(CounterVerdict, IsTheUsualOneWhereTheyAgree) {
  EXPECT_EQ(judge_spell({40}, {40}), usual(CounterReason::agree));
  EXPECT_EQ(judge_spell({30, 0}, {32, 2}), usual(CounterReason::agree));
  EXPECT_EQ(judge_spell({30, 0}, {33, 3}), usual(CounterReason::undecided));
  EXPECT_EQ(judge_spell({400, 20}, {380, 0}), usual(CounterReason::agree));
  EXPECT_EQ(judge_spell({}, {}), usual(CounterReason::agree));
}

TEST(CounterVerdict, IsTheLongerOneWhereTheLinkOfTheOtherWasDead) {
  EXPECT_EQ(judge_spell({30, 0}, {42, 12, 12, 7}), other(CounterReason::dead_link));
  EXPECT_EQ(judge_spell({42, 12, 12, 6}, {30, 0}), usual(CounterReason::dead_link));
  EXPECT_EQ(judge_spell({30, 0}, {42, 12, 12, 5}), usual(CounterReason::undecided));
  // one tip of a row that goes on through many spells
  EXPECT_EQ(judge_spell({0, 0}, {1, 1, 1, 1}), other(CounterReason::dead_link));
  EXPECT_EQ(judge_spell({0, 0}, {1, 1, 0, 0}), usual(CounterReason::agree));
}

TEST(CounterVerdict, IsNotTheOneThatCountsTwice) {
  EXPECT_EQ(judge_spell({60, 30, 2, 0}, {30, 0}), other(CounterReason::counts_twice));
  EXPECT_EQ(judge_spell({30, 0}, {60, 30, 6, 0}), usual(CounterReason::counts_twice));
  // in rows: what the short one lost
  EXPECT_EQ(judge_spell({30, 0}, {60, 30, 30, 30}), other(CounterReason::dead_link));
  // too few to tell
  EXPECT_EQ(judge_spell({20, 10, 0, 0}, {10, 0}), usual(CounterReason::undecided));
}

TEST(CounterVerdict, NeverIsOneThatDoublesAllAlong) {
  CounterTally twice{50, 25};
  twice.doubles = true;
  EXPECT_EQ(judge_spell({0}, twice), usual(CounterReason::counts_twice));
  EXPECT_EQ(judge_spell(twice, {0}), other(CounterReason::counts_twice));
}

TEST(CounterVerdict, ListensToTheNeighboursLast) {
  EXPECT_EQ(judge_spell({30, 4}, {40, 14}, 42), other(CounterReason::neighbours));
  EXPECT_EQ(judge_spell({30, 4}, {40, 14}, 20), usual(CounterReason::neighbours));
  EXPECT_EQ(judge_spell({30, 4}, {40, 14}, 0), usual(CounterReason::undecided));   // far from both
  EXPECT_EQ(judge_spell({30, 4}, {40, 14}, 34), usual(CounterReason::undecided));  // between them
  EXPECT_EQ(judge_spell({0}, {4, 4, 4, 0}, 0), usual(CounterReason::neighbours));
  EXPECT_EQ(judge_spell({30, 0}, {42, 12, 12, 7}, 30), other(CounterReason::dead_link));
}

TEST(CounterVerdict, IsTheSameForCountersSwapped) {
  Random random("IsTheSameForCountersSwapped");
  const auto tally = [&] {
    CounterTally drawn;
    drawn.tips = random.below(90);
    drawn.alone = random.below(drawn.tips + 1);
    drawn.in_pairs = random.below(drawn.alone + 1);
    drawn.in_dead_rows = random.below(drawn.in_pairs + 1);
    drawn.doubles = random.chance(0.1);
    return drawn;
  };
  for (int round = 0; round < 2000; ++round) {
    const CounterTally a = tally();
    const CounterTally b = tally();
    const double expected = random.chance(0.5) ? kNone : random.uniform(0, 90);
    const CounterVerdict one = judge_spell(a, b, expected);
    const CounterVerdict two = judge_spell(b, a, expected);
    EXPECT_EQ(one.why, two.why);
    const bool tie = one.why == CounterReason::agree || one.why == CounterReason::undecided;
    EXPECT_EQ(one.other, tie ? two.other : !two.other);
  }
}

}  // namespace
}  // namespace gaugeloom
