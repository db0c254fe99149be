#include "gaugeloom/checks/score_growth.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "checks/score_growth_internal.hpp"
#include "gaugeloom/core/random.hpp"

namespace gaugeloom {
namespace {

Instant minute(std::size_t m) { return Instant{std::chrono::minutes(m)}; }

// Points that wander up and down.
std::vector<ScorePoint> wandering(std::size_t count, std::uint64_t seed) {
  Random random(seed);
  std::vector<ScorePoint> points;
  double score = 0;
  for (std::size_t i = 0; i < count; ++i) {
    score += random.uniform() - 0.48;
    points.push_back({minute(i), score});
  }
  return points;
}

TEST(ScoreGrowth, LeavesFewPointsAsTheyAre) {
  const auto points = wandering(kMostScorePoints, 1);
  EXPECT_EQ(thinned(points, minute(3)), points);
  EXPECT_TRUE(thinned({}, minute(3)).empty());
}

TEST(ScoreGrowth, KeepsTheEndsTheHighestAndTheCallOfMany) {
  for (const std::size_t count : {601U, 1000U, 30000U}) {
    for (std::uint64_t seed = 1; seed <= 5; ++seed) {
      SCOPED_TRACE(std::to_string(count) + " points, " + std::to_string(seed));
      const auto points = wandering(count, seed);
      const Instant called = minute(count / 3) + std::chrono::seconds(20);
      const auto kept = thinned(points, called);
      EXPECT_LE(kept.size(), kMostScorePoints);
      EXPECT_GE(kept.size(), kMostScorePoints / 4);
      EXPECT_EQ(kept.front(), points.front());
      EXPECT_EQ(kept.back(), points.back());
      const auto lower = [](const auto& a, const auto& b) { return a.score < b.score; };
      EXPECT_EQ(*std::ranges::max_element(kept, lower), *std::ranges::max_element(points, lower));
      EXPECT_NE(std::ranges::find(kept, points[count / 3]), kept.end());
      for (const ScorePoint& p : kept) EXPECT_NE(std::ranges::find(points, p), points.end());
      EXPECT_TRUE(std::ranges::is_sorted(kept, {}, &ScorePoint::time));
    }
  }
}

TEST(ScoreGrowth, TakesTheHigherOfTwoPathsAtEachStep) {
  const ScorePath path = higher_of({{1, 1.0}, {2, 5.0}, {4, 2.0}}, {{2, 3.0}, {3, 7.0}, {4, 4.0}});
  ASSERT_EQ(path.size(), 4U);
  const double expected[] = {1, 5, 7, 4};
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_EQ(path[i].at, i + 1);
    EXPECT_EQ(path[i].score, expected[i]);
  }
  EXPECT_EQ(higher_of({}, {{2, 3.0}}).size(), 1U);
  EXPECT_EQ(higher_of({{2, 3.0}}, {}).size(), 1U);
}

}  // namespace
}  // namespace gaugeloom
