#include "gaugeloom/tips/two_counters.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/tips/correct_gauge.hpp"

namespace gaugeloom {
namespace {

Instant at_s(double seconds) { return Instant(Duration(std::llround(1e6 * seconds))); }
constexpr double kDay = 86400;

// `count` tips, one every so many seconds.
std::vector<Instant> every(double seconds, int count, double from_s = 0.3) {
  std::vector<Instant> times;
  for (int i = 0; i < count; ++i) times.push_back(at_s(from_s + i * seconds));
  return times;
}

std::vector<Instant> joined(std::vector<Instant> a, const std::vector<Instant>& b) {
  a.insert(a.end(), b.begin(), b.end());
  return a;
}

struct Chosen {
  std::vector<CounterTips> counters;
  ChosenTips chosen;
  std::size_t kept(std::size_t counter) const {
    return counters[counter].tips.counts()[static_cast<std::size_t>(TipFate::kept)];
  }
};
Chosen choose(const std::vector<Instant>& first, const std::vector<Instant>& second,
              const std::vector<Interval>& visits = {}) {
  Chosen result;
  result.counters.push_back({0, judge_tips(first, visits), {}, {}});
  result.counters.push_back({1, judge_tips(second, visits), {}, {}});
  result.chosen = choose_counters(result.counters);
  return result;
}

TEST(TwoCounters, UseTheFirstWhereTheyAgree) {
  const Chosen result = choose(every(60, 50), every(60, 50, 0.31));
  EXPECT_EQ(result.chosen.account.usual, 0U);
  EXPECT_EQ(result.kept(0), 50U);
  EXPECT_EQ(result.kept(1), 0U);
  EXPECT_TRUE(result.chosen.elsewhere.empty());
}

TEST(TwoCounters, ExplainAShortOneByADeadLink) {
  const Chosen result = choose(every(60, 40), every(60, 100));
  EXPECT_EQ(result.chosen.account.usual, 1U);
  EXPECT_EQ(result.kept(0), 0U);
  EXPECT_EQ(result.kept(1), 100U);
}

TEST(TwoCounters, TakeTheSpellThatTheUsualOneMissed) {
  const auto day = every(60, 100);
  const auto next = every(60, 30, kDay + 0.3);
  const Chosen result = choose(joined(day, every(60, 25, kDay + 0.3)), joined(every(60, 90), next));
  EXPECT_EQ(result.chosen.account.usual, 0U);
  EXPECT_EQ(result.kept(0), 100U);
  EXPECT_EQ(result.kept(1), 30U);
  EXPECT_EQ(result.chosen.elsewhere,
            (std::vector<Interval>{{next.front(), next.back() + Duration(1)}}));
}

TEST(TwoCounters, NeverUseOneThatCountsTwice) {
  const Chosen result = choose(every(60, 100), every(30, 200));
  EXPECT_EQ(result.chosen.account.usual, 0U);
  EXPECT_EQ(result.kept(0), 100U);
  EXPECT_EQ(result.kept(1), 0U);
}

TEST(TwoCounters, TakeNoShortSpellForCountingTwice) {
  const Chosen result = choose(joined(every(60, 300), every(60, 60, kDay + 0.3)),
                               joined(every(60, 300), every(60, 30, kDay + 0.3)));
  EXPECT_EQ(result.kept(0), 360U);
  EXPECT_EQ(result.kept(1), 0U);
}

TEST(TwoCounters, KeepTheTestTipsOfBothAsDisturbances) {
  const Chosen result =
      choose(every(60, 3), joined(every(60, 3), {at_s(95.5)}), {{at_s(90), at_s(100)}});
  ASSERT_EQ(result.chosen.tips.fates.size(), 4U);
  EXPECT_EQ(result.chosen.tips.fates[2], TipFate::test);
}

TEST(TwoCounters, CallBounceWhatTheOtherCounterDidNotSee) {
  std::vector<Instant> bounced = every(60, 50);
  bounced.insert(bounced.begin() + 11, bounced[10] + std::chrono::milliseconds(700));
  bounced.insert(bounced.begin() + 31, bounced[30] + std::chrono::milliseconds(800));
  const Chosen result = choose(bounced, every(60, 50));
  EXPECT_EQ(result.counters[0].tips.fates[11], TipFate::bounce);
  EXPECT_EQ(result.counters[0].tips.fates[31], TipFate::kept);
}

// A logger that was replaced twice, under a new name each time; the second ran beside the third.
TEST(TwoCounters, MayBeThree) {
  const std::vector<Instant> third =
      joined(every(60, 100, kDay + 0.3), every(60, 120, 2 * kDay + 0.3));
  std::vector<CounterTips> counters;
  for (const auto& times : {every(60, 80), every(60, 100, kDay + 0.4), third})
    counters.push_back({static_cast<std::uint8_t>(counters.size()), judge_tips(times, {}), {}, {}});
  const ChosenTips chosen = choose_counters(counters);
  EXPECT_EQ(chosen.account.usual, 2U);
  EXPECT_EQ(chosen.account.other, 1U);
  EXPECT_EQ(chosen.tips.times.size(), 300U);
  EXPECT_EQ(counters[1].tips.counts()[static_cast<std::size_t>(TipFate::other_counter)], 100U);
  ASSERT_EQ(chosen.elsewhere.size(), 1U);
  EXPECT_EQ(chosen.elsewhere[0].from, at_s(0.3));
  EXPECT_EQ(std::ranges::count(counters[2].partnered, true), 100);
}

TEST(TwoCounters, MayBothHaveNoTip) {
  std::vector<CounterTips> counters(2);
  EXPECT_TRUE(choose_counters(counters).tips.times.empty());
  counters[1].tips = judge_tips(every(60, 5), {});
  EXPECT_EQ(choose_counters(counters).tips.times.size(), 5U);
}

TEST(TwoCounters, AskTheNeighboursWhereNothingElseTells) {
  std::vector<Instant> first = joined(every(60, 200), every(600, 30, kDay + 0.3));
  std::vector<Instant> second = joined(every(60, 180), every(600, 30, kDay + 0.3));
  std::erase_if(first,
                [](Instant t) { return t > at_s(kDay) && t.time_since_epoch().count() % 7 < 3; });
  const std::size_t left = first.size() - 200;
  ASSERT_LT(left, 28U);
  for (const bool neighbours : {false, true}) {
    Chosen result;
    result.counters.push_back({0, judge_tips(first, {}), {}, {}});
    result.counters.push_back({1, judge_tips(second, {}), {}, {}});
    ExpectedTips expected;
    if (neighbours) expected = [](const Interval&) { return 29.0; };
    result.chosen = choose_counters(result.counters, expected);
    ASSERT_EQ(result.chosen.account.spells.size(), 2U);
    EXPECT_EQ(result.chosen.account.spells[1].verdict.why,
              neighbours ? CounterReason::neighbours : CounterReason::undecided);
    EXPECT_EQ(result.kept(1), neighbours ? 30U : 0U);
  }
}

// A clock 10 h ahead: the spells are the same rain all the same, and are not counted twice.
TEST(TwoCounters, CountRainOnceWhateverTheirClocksShow) {
  std::vector<Instant> first;
  std::vector<Instant> second;
  Random random("CountRainOnceWhateverTheirClocksShow");
  double at = 0;
  for (int i = 0; i < 600; ++i) {
    at += i % 60 == 0 ? kDay : random.uniform(20, 200);
    first.push_back(at_s(at));
    if (i % 60 < 30 || i > 400) second.push_back(at_s(at + 36000));
  }
  const Chosen result = choose(first, second);
  EXPECT_EQ(result.kept(0), 600U);
  EXPECT_EQ(result.kept(1), 0U);
  EXPECT_NEAR(static_cast<double>(result.chosen.account.clocks.ahead(second[100]).count()), -36e9,
              1e6);
}

// Turns seen by two counters with their own losses, bounce, clocks and dead times.
struct Truth {
  std::vector<Instant> turns;
  std::vector<Instant> seen[2];
};
Truth truth_of(Random& random) {
  Truth truth;
  const double unit_s = std::array{0.0, 1.0, 60.0}[random.below(3)];
  const double ahead_s = random.uniform(-4000, 4000);
  const double lost[2] = {random.uniform(0, 0.2), random.uniform(0, 0.2)};
  const double dead_from = random.uniform(0, 60 * kDay);
  double at = 0;
  while (at < 60 * kDay) {
    at += random.chance(0.04) ? random.exponential(3 * kDay) : random.uniform(10, 400);
    truth.turns.push_back(at_s(at));
    for (int c = 0; c < 2; ++c) {
      if (random.chance(lost[c]) || (c == 1 && at > dead_from && at < dead_from + 5 * kDay))
        continue;
      const double stamp = at + (c == 1 ? ahead_s : 0);
      truth.seen[c].push_back(
          at_s(c == 1 && unit_s > 0 ? unit_s * std::floor(stamp / unit_s) : stamp));
      if (random.chance(0.02))
        truth.seen[c].push_back(truth.seen[c].back() +
                                Duration(c == 0 || unit_s == 0 ? 100000 : 0));
    }
  }
  return truth;
}

TEST(TwoCounters, KeepOneCounterOfASpellAndLoseNoTip) {
  for (int round = 0; round < 40; ++round) {
    SCOPED_TRACE(round);
    Random random("KeepOneCounterOfASpellAndLoseNoTip " + std::to_string(round));
    const Truth truth = truth_of(random);
    const Chosen result = choose(truth.seen[0], truth.seen[1]);
    std::size_t all = 0;
    for (const CounterTips& counter : result.counters)
      for (const std::size_t tips : counter.tips.counts()) all += tips;
    EXPECT_EQ(all, truth.seen[0].size() + truth.seen[1].size());
    std::size_t kept = 0;
    for (const CounterSpell& spell : result.chosen.account.spells)
      kept += spell.verdict.other ? spell.tips_other : spell.tips_usual;
    EXPECT_EQ(kept, result.kept(0) + result.kept(1));
    EXPECT_LE(static_cast<double>(kept),
              1.03 * static_cast<double>(truth.turns.size()));  // bounce in minutes cannot be told
    EXPECT_GE(static_cast<double>(kept), 0.78 * static_cast<double>(truth.turns.size()));
    EXPECT_TRUE(std::ranges::is_sorted(result.chosen.tips.times));
    for (const CounterTips& counter : result.counters)
      EXPECT_EQ(counter.partnered.size(), counter.tips.fates.size());
    EXPECT_EQ(std::ranges::count(result.counters[0].partnered, true),
              std::ranges::count(result.counters[1].partnered, true));
  }
}

TEST(TwoCounters, ChooseTheSameRainForCountersSwapped) {
  for (int round = 0; round < 20; ++round) {
    SCOPED_TRACE(round);
    Random random("ChooseTheSameRainForCountersSwapped " + std::to_string(round));
    const Truth truth = truth_of(random);
    const Chosen one = choose(truth.seen[0], truth.seen[1]);
    const Chosen two = choose(truth.seen[1], truth.seen[0]);
    if (truth.seen[0].size() == truth.seen[1].size()) continue;  // a tie
    EXPECT_EQ(one.kept(0), two.kept(1));
    EXPECT_EQ(one.kept(1), two.kept(0));
  }
}

// The rain of both spells, each from the counter that was alive; every tip is accounted for.
TEST(TwoCounters, MakeOneSeriesOfTwoHalves) {
  GaugeFacts facts;
  facts.rows.emplace_back();
  const auto first = every(60, 100);
  const auto second = every(90, 50, 2 * kDay + 0.3);
  const CorrectedGauge gauge = correct_gauge({{{0, first}, {1, second}}}, facts);
  ASSERT_EQ(gauge.inflow.inflows.size(), 150U);
  EXPECT_EQ(gauge.elsewhere.size(), 1U);
  double corrected_mm = 0;
  for (const Inflow& inflow : gauge.inflow.inflows) corrected_mm += inflow.corrected_mm;
  double logged_mm = 0;
  for (const CounterTips& counter : gauge.counters)
    for (const float depth_mm : counter.corrected_mm) logged_mm += static_cast<double>(depth_mm);
  EXPECT_NEAR(logged_mm, corrected_mm, 1e-5);
}

}  // namespace
}  // namespace gaugeloom
