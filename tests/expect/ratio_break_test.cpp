#include "gaugeloom/expect/ratio_break.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/random.hpp"

namespace gaugeloom {
namespace {

// Every third day of two years, seasons of 91 days, noise of variance 1 / weight.
std::vector<RatioPoint> noise(std::uint64_t seed, double sd = 0.1) {
  Random random(seed);
  std::vector<RatioPoint> points;
  for (int day = 0; day < 728; day += 3) {
    const double weight = 1 / (sd * sd * random.uniform(0.5, 2));
    points.push_back({static_cast<double>(day), static_cast<std::size_t>(day / 91 % 4),
                      random.normal() / std::sqrt(weight), weight});
  }
  return points;
}

std::vector<RatioPoint> stepped(std::uint64_t seed, double change, double from_day) {
  auto points = noise(seed);
  for (RatioPoint& p : points)
    if (p.day >= from_day) p.value += change;
  return points;
}

TEST(RatioBreak, FindsAStepWhereItIs) {
  const auto points = stepped(1, -0.22, 400);
  const RatioChange step = best_change(points, ChangeShape::step);
  EXPECT_NEAR(points[step.at].day, 400, 9);
  EXPECT_NEAR(step.change, -0.22, 0.05);
  EXPECT_GT(step.score, 50);
  EXPECT_GT(step.score, best_change(points, ChangeShape::ramp).score + 5);
}

TEST(RatioBreak, FindsARampWhereItIs) {
  auto points = noise(2);
  for (RatioPoint& p : points)
    if (p.day > 300) p.value -= 0.3 * (p.day - 300) / 425;
  const RatioChange ramp = best_change(points, ChangeShape::ramp);
  EXPECT_NEAR(points[ramp.at].day, 300, 80);
  EXPECT_NEAR(ramp.change, -0.3, 0.05);
  EXPECT_GT(ramp.score, best_change(points, ChangeShape::step).score + 5);
}

TEST(RatioBreak, ScoresAsTheTextbookOnEqualWeights) {
  // Alexandersson 1986: T(k) = k z1^2 + (n - k) z2^2 on standardised values; by hand here.
  const std::vector<double> z = {-1.2, -0.4, -0.8, 0.9, 1.1, 0.4};
  std::vector<RatioPoint> points;
  for (std::size_t i = 0; i < z.size(); ++i) points.push_back({static_cast<double>(i), 0, z[i], 1});
  ChangeOptions options;
  options.least_side = 1;
  const RatioChange step = best_change(points, ChangeShape::step, options);
  EXPECT_EQ(step.at, 3U);
  EXPECT_NEAR(2 * step.score, 3 * 0.8 * 0.8 + 3 * 0.8 * 0.8, 1e-12);  // means -0.8 and 0.8
  EXPECT_NEAR(step.change, 1.6, 1e-12);
  EXPECT_NEAR(step.information, 1.5, 1e-12);  // 1 / (1/3 + 1/3)
}

TEST(RatioBreak, ComparesLikeWithLikeWhereSeasonsDiffer) {
  // A site that reads 20 % less in one half of the year, in a record of one year and a half.
  auto points = noise(3);
  std::erase_if(points, [](const RatioPoint& p) { return p.day > 546; });
  for (RatioPoint& p : points)
    if (p.season >= 2) p.value -= 0.2;
  ChangeOptions blind;
  ChangeOptions seasonal;
  seasonal.season_variance = 0.04;
  EXPECT_GT(best_change(points, ChangeShape::step, blind).score, 20);
  EXPECT_LT(best_change(points, ChangeShape::step, seasonal).score, 8);
  const auto step = stepped(3, -0.2, 400);
  EXPECT_GT(best_change(step, ChangeShape::step, seasonal).score, 20);
}

TEST(RatioBreak, AFarSeasonVarianceIsACleanComparisonWithinSeasons) {
  // With an endless variance the estimate is the pooled difference within seasons.
  auto points = stepped(4, 0.1, 364);
  double weights = 0, sum = 0;
  for (std::size_t s = 0; s < kSeasons; ++s) {
    double w[2] = {0, 0}, wy[2] = {0, 0};
    for (const RatioPoint& p : points) {
      if (p.season != s) continue;
      const int side = p.day >= 364 ? 1 : 0;
      w[side] += p.weight;
      wy[side] += p.weight * p.value;
    }
    const double both = w[0] * w[1] / (w[0] + w[1]);
    sum += both * (wy[1] / w[1] - wy[0] / w[0]);
    weights += both;
  }
  const auto at = static_cast<std::size_t>(
      std::find_if(points.begin(), points.end(), [](const auto& p) { return p.day >= 364; }) -
      points.begin());
  const RatioChange change = change_at(points, ChangeShape::step, at, 1e7);
  EXPECT_NEAR(change.change, sum / weights, 1e-5);
  EXPECT_NEAR(change.information, weights, 1e-3 * weights);
}

TEST(RatioBreak, IsSilentWithTooFewPoints) {
  EXPECT_EQ(best_change({}, ChangeShape::step).score, 0);
  const auto points = noise(5);
  EXPECT_EQ(best_change(std::span(points).first(15), ChangeShape::step).score, 0);
  EXPECT_EQ(best_change(std::span(points).first(20), ChangeShape::ramp).score, 0);  // 57 days
  EXPECT_TRUE(possible_changes(std::span(points).first(15), ChangeShape::step).empty());
}

TEST(RatioBreak, TellsTheNoiseInSpiteOfAStep) {
  EXPECT_NEAR(successive_variance(noise(6)), 1, 0.25);
  EXPECT_NEAR(successive_variance(stepped(6, 0.5, 300)), successive_variance(noise(6)), 0.05);
  auto loud = noise(6);
  for (RatioPoint& p : loud) p.value *= 1.5;
  EXPECT_GT(successive_variance(loud), 1.5);
  EXPECT_EQ(successive_variance({}), 1);
}

TEST(RatioBreak, LearnsHowMuchSitesChangeWithTheSeason) {
  std::vector<std::vector<RatioPoint>> calm, moody;
  Random random(9);
  for (std::uint64_t gauge = 0; gauge < 40; ++gauge) {
    calm.push_back(noise(100 + gauge));
    moody.push_back(noise(100 + gauge));
    const double parts[4] = {0.1 * random.normal(), 0.1 * random.normal(), 0.1 * random.normal(),
                             0.1 * random.normal()};
    for (RatioPoint& p : moody.back()) p.value += parts[p.season];
  }
  EXPECT_LT(season_variance(calm), 0.0004);
  EXPECT_GT(season_variance(moody), 0.0006);  // an excess counts but so much: below the true 0.01
  EXPECT_LT(season_variance(moody), 0.012);
  EXPECT_EQ(season_variance({}), 0);
}

TEST(RatioBreak, TellsASiteThatDiffersByTheSeasonFromAChange) {
  auto seasonal = noise(12);
  for (RatioPoint& p : seasonal) p.value += p.season < 2 ? 0.1 : -0.1;
  ASSERT_TRUE(recurring_season_variance(seasonal));
  EXPECT_NEAR(*recurring_season_variance(seasonal), 0.0133, 0.005);  // of +0.1 +0.1 -0.1 -0.1
  const double noise_alone = recurring_season_variance(noise(12)).value();
  EXPECT_LT(noise_alone, 0.0015);
  for (const double day : {120.0, 300.0, 364.0, 500.0})
    EXPECT_NEAR(recurring_season_variance(stepped(12, -0.2, day)).value(), noise_alone, 0.002)
        << day;  // a step of 0.2 between two halves of a year that came back would make 0.0133
  const auto whole = noise(12);
  EXPECT_FALSE(recurring_season_variance(std::span(whole).first(130)));  // one year and a bit
}

}  // namespace
}  // namespace gaugeloom
