#include "gaugeloom/tips/counter_rows.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace gaugeloom {
namespace {

constexpr double kDay = 86400;
Instant at_s(double seconds) { return Instant(Duration(std::llround(1e6 * seconds))); }

void add_rain(std::vector<Instant>& times, double from_s, int count, double ahead_s = 0) {
  for (int i = 0; i < count; ++i)  // unevenly, so that no other difference fits
    times.push_back(at_s(from_s + ahead_s + 0.3 + 60 * i + 3.3 * (i * i % 17)));
}

CorrectedGauge corrected(std::vector<Instant> first, std::vector<Instant> second) {
  GaugeFacts facts;
  facts.rows.emplace_back();
  return correct_gauge({{{0, std::move(first)}, {1, std::move(second)}}}, facts);
}

std::vector<CounterRow> rows_of(const CorrectedGauge& gauge, const ExpectedTips& expected = {}) {
  return counter_rows(gauge, tip_months(gauge), expected);
}

TEST(CounterRows, AreNoneForOneCounterInOrder) {
  GaugeFacts facts;
  facts.rows.emplace_back();
  std::vector<Instant> times;
  add_rain(times, 100, 20);
  EXPECT_TRUE(rows_of(correct_gauge({{{0, times}}}, facts)).empty());
}

// A storm of 30 tips on 5 January of which the second counter misses 10, nothing in February, and
// one on 5 March, by when its clock was set 1000 s forward.
TEST(CounterRows, TellMonthsSpellsAndSetClocks) {
  std::vector<Instant> first;
  std::vector<Instant> second;
  add_rain(first, 2 * kDay, 40);
  add_rain(second, 2 * kDay, 40);
  add_rain(first, 4 * kDay, 30);
  add_rain(second, 4 * kDay, 20);
  add_rain(first, 63 * kDay, 40);
  add_rain(second, 63 * kDay, 40, 1000);
  const auto rows = rows_of(corrected(first, second));
  ASSERT_EQ(rows.size(), 5U);
  EXPECT_EQ(rows[0].kind, CounterRowKind::month);
  EXPECT_EQ(rows[0].tips_usual, 70U);
  EXPECT_EQ(rows[0].tips_other, 60U);
  EXPECT_EQ(rows[0].both, 60U);
  EXPECT_EQ(rows[0].kept, 70U);
  EXPECT_NEAR(rows[0].match_rate(), 60.0 / 70, 1e-12);
  EXPECT_EQ(finding_of(rows[0]), CounterFinding::differ);
  EXPECT_EQ(rows[1].kind, CounterRowKind::spell);
  EXPECT_EQ(rows[1].verdict, (CounterVerdict{false, CounterReason::dead_link}));
  EXPECT_EQ(rows[1].tips_usual, 30U);
  EXPECT_EQ(rows[1].both, 20U);
  EXPECT_EQ(rows[2].kind, CounterRowKind::clock_set);
  EXPECT_NEAR(static_cast<double>(rows[2].ahead->count()), 1e9, 1e6);
  EXPECT_EQ(rows[3].tips_usual + rows[3].tips_other, 0U);  // February
  EXPECT_EQ(rows[4].both, 40U);
  EXPECT_EQ(finding_of(rows[4]), CounterFinding::agree);
}

TEST(CounterRows, JoinSpellsOfOneReason) {
  std::vector<Instant> first;
  std::vector<Instant> second;
  for (int day = 1; day < 10; ++day) {
    add_rain(first, day * kDay, 20);
    if (day < 4 || day > 7) add_rain(second, day * kDay, 20);
  }
  const auto rows = rows_of(corrected(first, second));
  ASSERT_EQ(rows.size(), 2U);
  EXPECT_EQ(rows[1].over.from, at_s(4 * kDay + 0.3));
  EXPECT_EQ(rows[1].tips_usual, 80U);
}

TEST(CounterRows, HoldBothAgainstTheNeighbours) {
  std::vector<Instant> both;
  add_rain(both, 2 * kDay, 60);
  for (const auto& [expected, finding] :
       {std::pair{121.0, CounterFinding::both_low}, std::pair{119.0, CounterFinding::agree},
        std::pair{31.0, CounterFinding::agree}, std::pair{29.0, CounterFinding::both_high}}) {
    const auto rows =
        rows_of(corrected(both, both), [tips = expected](const Interval&) { return tips; });
    ASSERT_EQ(rows.size(), 1U);
    EXPECT_EQ(finding_of(rows[0]), finding);
  }
  EXPECT_EQ(finding_of(rows_of(corrected(both, both))[0]), CounterFinding::agree);
}

TEST(CounterRows, TellTipsWrittenAfterLaterOnes) {
  GaugeFacts facts;
  facts.rows.emplace_back();
  std::vector<Instant> times;
  add_rain(times, 10000, 50);
  const Instant latest = times.back();
  add_rain(times, 11000.5, 20);
  const auto rows = rows_of(correct_gauge({{{0, times}}}, facts));
  ASSERT_EQ(rows.size(), 1U);
  EXPECT_EQ(rows[0].kind, CounterRowKind::set_back);
  EXPECT_EQ(rows[0].over, (Interval{at_s(11000.8), latest}));
  EXPECT_EQ(rows[0].tips_usual, 20U);
  EXPECT_EQ(*rows[0].ahead, at_s(11000.8) - latest);
}

}  // namespace
}  // namespace gaugeloom
