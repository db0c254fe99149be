#include "gaugeloom/tips/tip_matching.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/random.hpp"

namespace gaugeloom {
namespace {

Instant at_s(double seconds) { return Instant(Duration(std::llround(1e6 * seconds))); }
TipCell fine(double seconds) { return {at_s(seconds), at_s(seconds)}; }
std::vector<TipCell> cells(std::initializer_list<double> seconds) {
  std::vector<TipCell> all;
  for (const double s : seconds) all.push_back(fine(s));
  return all;
}
constexpr std::size_t kNone = kNoPartner;

// The sum that match_tips makes smallest, in microseconds.
std::int64_t cost(std::span<const TipCell> first, std::span<const TipCell> second,
                  const TipMatching& matching) {
  std::int64_t sum = 0;
  for (std::size_t i = 0; i < first.size(); ++i)
    sum += matching.of_first[i] == kNone
               ? kSameTurn.count()
               : gap_between(first[i], second[matching.of_first[i]]).count();
  return sum + kSameTurn.count() * std::ranges::count(matching.of_second, kNone);
}

// The smallest sum of all matchings, one by one.
std::int64_t least_cost(std::span<const TipCell> first, std::span<const TipCell> second) {
  if (first.empty() || second.empty())
    return kSameTurn.count() * static_cast<std::int64_t>(first.size() + second.size());
  std::int64_t least = kSameTurn.count() + least_cost(first.subspan(1), second);
  for (std::size_t j = 0; j < second.size(); ++j)
    if (const Duration gap = gap_between(first[0], second[j]); gap <= kSameTurn)
      least = std::min(least, gap.count() + kSameTurn.count() * static_cast<std::int64_t>(j) +
                                  least_cost(first.subspan(1), second.subspan(j + 1)));
  return least;
}

// Tips of a train: fine, of whole seconds or minutes, or of one and then another.
std::vector<TipCell> random_train(Random& random, double span_s, std::size_t most) {
  std::vector<double> seconds;
  for (std::size_t i = random.below(most + 1); i-- > 0;)
    seconds.push_back(random.uniform(0, span_s));
  std::ranges::sort(seconds);
  std::vector<TipCell> train;
  const double unit = std::array{0.0, 1.0, 60.0}[random.below(3)];
  const double until_s = random.chance(0.3) ? span_s / 2 : span_s;
  for (const double s : seconds)
    if (unit == 0 || s > until_s)
      train.push_back(fine(s));
    else
      train.push_back({at_s(unit * std::floor(s / unit)), at_s(unit * (std::floor(s / unit) + 1))});
  return train;
}

void expect_sound(const TipMatching& matching) {
  std::size_t last = kNone;
  for (std::size_t i = 0; i < matching.of_first.size(); ++i) {
    const std::size_t j = matching.of_first[i];
    if (j == kNone) continue;
    ASSERT_LT(j, matching.of_second.size());
    EXPECT_EQ(matching.of_second[j], i);
    EXPECT_TRUE(last == kNone || j > last);
    last = j;
  }
  EXPECT_EQ(matching.of_second.size() - matching.both(),
            static_cast<std::size_t>(std::ranges::count(matching.of_second, kNone)));
}

TEST(TipMatching, MatchesWhatBothSaw) {
  const TipMatching matching = match_tips(cells({10, 20, 30}), cells({10.4, 31.9}));
  EXPECT_EQ(matching.of_first, (std::vector<std::size_t>{0, kNone, 1}));
  EXPECT_EQ(matching.of_second, (std::vector<std::size_t>{0, 2}));
  EXPECT_EQ(matching.both(), 2U);
}

TEST(TipMatching, LeavesMoreThanTwoSecondsApart) {
  EXPECT_EQ(match_tips(cells({10}), cells({12})).both(), 1U);
  EXPECT_EQ(match_tips(cells({10}), cells({12.000001})).both(), 0U);
  EXPECT_EQ(match_tips({}, cells({1, 2})).of_second, (std::vector<std::size_t>{kNone, kNone}));
}

// By hand: shifting all by 1.6 s costs 3 x 1.6 s; leaving one over at each end costs 2 x 2 s.
TEST(TipMatching, LeavesOverRatherThanShiftsARow) {
  const TipMatching matching = match_tips(cells({0, 1.6, 3.2}), cells({1.6, 3.2, 4.8}));
  EXPECT_EQ(matching.of_first, (std::vector<std::size_t>{kNone, 0, 1}));
}

// The second tip of the first counter is a minute's; it may have fallen at any time of it.
TEST(TipMatching, TakesCoarseStampsAsTheirWholeMinute) {
  const std::vector<TipCell> first{fine(5), {at_s(60), at_s(120)}, {at_s(60), at_s(120)}};
  const TipMatching matching = match_tips(first, cells({5, 118, 121.5, 123}));
  EXPECT_EQ(matching.of_second, (std::vector<std::size_t>{0, 1, 2, kNone}));
}

TEST(TipMatching, IsTheBestOfAllMatchings) {
  Random random("IsTheBestOfAllMatchings");
  for (int round = 0; round < 400; ++round) {
    SCOPED_TRACE(round);
    const double span_s = random.uniform(4, 120);
    const auto first = random_train(random, span_s, 8);
    const auto second = random_train(random, span_s, 8);
    const TipMatching matching = match_tips(first, second);
    expect_sound(matching);
    EXPECT_EQ(cost(first, second, matching), least_cost(first, second));
    const TipMatching swapped = match_tips(second, first);
    EXPECT_EQ(cost(second, first, swapped), cost(first, second, matching));
  }
}

TEST(TipMatching, IsMonotoneAndMutualInLongTrains) {
  Random random("IsMonotoneAndMutualInLongTrains");
  for (int round = 0; round < 30; ++round) {
    const double span_s = random.uniform(500, 20000);
    const auto first = random_train(random, span_s, 2000);
    const auto second = random_train(random, span_s, 2000);
    const TipMatching matching = match_tips(first, second);
    expect_sound(matching);
    EXPECT_EQ(cost(first, second, matching), cost(second, first, match_tips(second, first)));
    EXPECT_GE(count_matches(first, second, Duration{0}), matching.both());
  }
}

TEST(TipMatching, IsQuickWithAnyNumberInOneStamp) {
  const std::vector<TipCell> crowd(20000, {at_s(0), at_s(60)});
  EXPECT_EQ(match_tips(crowd, crowd).both(), 20000U);
}

TEST(TipMatching, CountsMatchesUnderADifference) {
  EXPECT_EQ(count_matches(cells({10, 20, 30}), cells({3610, 3621, 3640}), std::chrono::hours(1)),
            2U);
  EXPECT_EQ(count_matches(cells({10, 20, 30}), cells({3610, 3621, 3640}), Duration{0}), 0U);
}

}  // namespace
}  // namespace gaugeloom
