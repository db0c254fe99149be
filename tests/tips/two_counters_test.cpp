#include "gaugeloom/tips/two_counters.hpp"

#include <gtest/gtest.h>

#include <cmath>

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
