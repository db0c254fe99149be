// The laws of expect/ratio_break.hpp on seeded series.

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/expect/ratio_break.hpp"

namespace gaugeloom {
namespace {

std::vector<RatioPoint> series(std::uint64_t seed) {
  Random random(seed);
  std::vector<RatioPoint> points;
  double day = random.uniform(0, 1000);
  for (int i = 0; i < 150; ++i) {
    day += 1 + static_cast<double>(random.below(6));
    const auto season = static_cast<std::size_t>(day / 91) % kSeasons;
    points.push_back({day, season, 0.3 * random.normal(), random.uniform(1, 100)});
  }
  return points;
}

constexpr std::array kShapes = {ChangeShape::step, ChangeShape::ramp};

TEST(RatioBreakLaws, AConstantChangesNothingAndScaleAndSignDoNotMatter) {
  ChangeOptions options;
  options.season_variance = 0.001;
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    const auto points = series(seed);
    for (const ChangeShape shape : kShapes) {
      const RatioChange plain = best_change(points, shape, options);
      auto moved = points;
      auto scaled = points;
      auto turned = points;
      for (RatioPoint& p : moved) p.value += 3;
      for (RatioPoint& p : scaled) {
        p.value *= 4;
        p.weight /= 16;
      }
      for (RatioPoint& p : turned) p.value = -p.value;
      ChangeOptions scaled_options = options;
      scaled_options.season_variance *= 16;
      const RatioChange a = best_change(moved, shape, options);
      const RatioChange b = best_change(scaled, shape, scaled_options);
      const RatioChange c = best_change(turned, shape, options);
      EXPECT_NEAR(a.score, plain.score, 1e-9);
      EXPECT_NEAR(b.score, plain.score, 1e-9);
      EXPECT_NEAR(c.score, plain.score, 1e-12);
      EXPECT_EQ(c.at, plain.at);
      EXPECT_NEAR(c.change, -plain.change, 1e-12);
    }
  }
}

TEST(RatioBreakLaws, TheBestIsTheBestOfAllAndEachIsTheOneAtItsPlace) {
  for (std::uint64_t seed = 1; seed <= 10; ++seed) {
    const auto points = series(seed);
    for (const ChangeShape shape : kShapes) {
      double best = 0;
      for (const RatioChange& c : possible_changes(points, shape)) {
        best = std::max(best, c.score);
        EXPECT_NEAR(change_at(points, shape, c.at).score, c.score, 1e-9);
      }
      EXPECT_EQ(best_change(points, shape).score, best);
    }
  }
}

TEST(RatioBreakLaws, MixingKeepsDaysSeasonsAndWhatEachSeasonHolds) {
  for (std::uint64_t seed = 1; seed <= 10; ++seed) {
    const auto points = series(seed);
    const auto mixed = permuted_within_season(points, seed);
    ASSERT_EQ(mixed.size(), points.size());
    bool moved = false;
    for (std::size_t s = 0; s < kSeasons; ++s) {
      std::vector<std::pair<double, double>> before, after;
      for (std::size_t i = 0; i < points.size(); ++i) {
        EXPECT_EQ(mixed[i].day, points[i].day);
        EXPECT_EQ(mixed[i].season, points[i].season);
        moved = moved || mixed[i].value != points[i].value;
        if (points[i].season != s) continue;
        before.emplace_back(points[i].value, points[i].weight);
        after.emplace_back(mixed[i].value, mixed[i].weight);
      }
      std::sort(before.begin(), before.end());
      std::sort(after.begin(), after.end());
      EXPECT_EQ(before, after);
    }
    EXPECT_TRUE(moved);
    const auto again = permuted_within_season(points, seed);
    for (std::size_t i = 0; i < points.size(); ++i) EXPECT_EQ(again[i].value, mixed[i].value);
  }
}

}  // namespace
}  // namespace gaugeloom
