#include "gaugeloom/tips/judged_tips.hpp"

#include <gtest/gtest.h>

#include <numeric>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/random.hpp"

namespace gaugeloom {
namespace {

Instant at_ms(std::int64_t milliseconds) { return Instant(Duration(1000 * milliseconds)); }

std::vector<TipFate> fates(std::vector<Instant> stamps, std::vector<Interval> visits = {},
                           JudgeOptions options = {}) {
  return judge_tips(std::move(stamps), visits, options).fates;
}

constexpr TipFate kKept = TipFate::kept;
constexpr TipFate kBounce = TipFate::bounce;

TEST(JudgedTips, TakeCloserThanHalfASecondForBounce) {
  EXPECT_EQ(fates({at_ms(1001), at_ms(1031), at_ms(1500), at_ms(1501), at_ms(9003)}),
            (std::vector<TipFate>{kKept, kBounce, kBounce, kKept, kKept}));
}

TEST(JudgedTips, MeasureFromTheLastTurnNotFromTheLastBounce) {
  EXPECT_EQ(fates({at_ms(1), at_ms(301), at_ms(601)}),
            (std::vector<TipFate>{kKept, kBounce, kKept}));
}

TEST(JudgedTips, TellADuplicateFromABounce) {
  EXPECT_EQ(fates({at_ms(1001), at_ms(1001), at_ms(1002)}),
            (std::vector<TipFate>{kKept, TipFate::duplicate, kBounce}));
}

TEST(JudgedTips, CallBounceOnlyWhatAWholeSecondCannotHold) {
  EXPECT_EQ(fates({at_ms(1000), at_ms(1000), at_ms(2000)}),
            (std::vector<TipFate>{kKept, kKept, kKept}));
  EXPECT_EQ(fates({at_ms(1000), at_ms(1000), at_ms(1000), at_ms(2000)}),
            (std::vector<TipFate>{kKept, kKept, kBounce, kKept}));
}

TEST(JudgedTips, LetAMinuteHoldAHundredAndTwentyTips) {
  std::vector<Instant> stamps(121, at_ms(60'000));
  stamps.insert(stamps.end(), {at_ms(120'000), at_ms(180'000)});
  const JudgedTips tips = judge_tips(stamps, {});
  EXPECT_EQ(tips.counts()[static_cast<std::size_t>(kBounce)], 1U);
  EXPECT_EQ(tips.fates[120], kBounce);
  EXPECT_EQ(tips.times[119], Instant(Duration(119'750'000)));
}

TEST(JudgedTips, SortAndCountWhatWasWrittenLate) {
  const JudgedTips tips = judge_tips({at_ms(5001), at_ms(1001), at_ms(3001), at_ms(9001)}, {});
  EXPECT_EQ(tips.stamps,
            (std::vector<Instant>{at_ms(1001), at_ms(3001), at_ms(5001), at_ms(9001)}));
  EXPECT_EQ(tips.back, 2U);
  EXPECT_EQ(tips.farthest_back, std::chrono::seconds(4));
}

TEST(JudgedTips, NeverCountTheTipsOfAVisit) {
  const std::vector<Interval> visits{{at_ms(2000), at_ms(4000)}, {at_ms(3000), at_ms(5001)}};
  EXPECT_EQ(fates({at_ms(1001), at_ms(2000), at_ms(3001), at_ms(3101), at_ms(5001)}, visits),
            (std::vector<TipFate>{kKept, TipFate::test, TipFate::test, kBounce, kKept}));
}

TEST(JudgedTips, LeaveOutWhatLiesOutsideTheAskedTime) {
  JudgeOptions options;
  options.from = at_ms(2000);
  options.to = at_ms(4001);
  EXPECT_EQ(fates({at_ms(1001), at_ms(2000), at_ms(4001)}, {}, options),
            (std::vector<TipFate>{TipFate::outside, kKept, TipFate::outside}));
}

TEST(JudgedTips, RefuseOptionsOutOfRange) {
  EXPECT_THROW(judge_tips({}, {}, {.bounce_s = 2}), Error);
  EXPECT_THROW(judge_tips({}, {}, {.from = at_ms(2), .to = at_ms(2)}), Error);
}

// Laws 1 and 2, on trains with every oddity.
TEST(JudgedTips, GiveEveryTipOneFateWhateverTheOrder) {
  Random random("GiveEveryTipOneFateWhateverTheOrder");
  for (int round = 0; round < 50; ++round) {
    SCOPED_TRACE(round);
    std::vector<Instant> stamps;
    const std::int64_t unit_ms = round % 3 == 0 ? 1 : round % 3 == 1 ? 1000 : 60'000;
    std::int64_t at = 0;
    for (std::size_t i = 0, count = random.below(300); i < count; ++i) {
      at += static_cast<std::int64_t>(random.exponential(random.chance(0.3) ? 300 : 20'000));
      stamps.push_back(at_ms(at / unit_ms * unit_ms));
      if (random.chance(0.1)) stamps.push_back(stamps.back());
    }
    const std::vector<Interval> visits{{at_ms(100'000), at_ms(400'000)}};
    const JudgedTips tips = judge_tips(stamps, visits);
    const auto counts = tips.counts();
    EXPECT_EQ(std::accumulate(counts.begin(), counts.end(), std::size_t{0}), stamps.size());
    EXPECT_EQ(tips.back, 0U);
    EXPECT_TRUE(std::is_sorted(tips.times.begin(), tips.times.end()));
    for (std::size_t i = stamps.size(); i > 1; --i)
      std::swap(stamps[i - 1], stamps[random.below(i)]);
    const JudgedTips again = judge_tips(stamps, visits);
    EXPECT_EQ(again.fates, tips.fates);
    EXPECT_EQ(again.times, tips.times);
  }
}

}  // namespace
}  // namespace gaugeloom
