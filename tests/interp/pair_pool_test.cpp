#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <utility>
#include <vector>

#include "interp/pair_bins_internal.hpp"
#include "interp/pair_pool_internal.hpp"
#include "support/random_network.hpp"

namespace gaugeloom {
namespace {

std::set<std::pair<std::uint32_t, std::uint32_t>> distinct(const PairPool& pool) {
  std::set<std::pair<std::uint32_t, std::uint32_t>> pairs;
  for (const PooledPair& p : pool) pairs.insert(std::minmax(p.first, p.second));
  return pairs;
}

TEST(PairPool, HoldsEveryPairWhenTheyAreFew) {
  const auto points = support::random_network("HoldsEveryPairWhenTheyAreFew", 30).gauges;
  EXPECT_EQ(distinct(choose_pairs(points, 1e9)).size(), 30u * 29 / 2);
  std::size_t near = 0;
  for (std::size_t i = 0; i < 30; ++i)
    for (std::size_t j = 0; j < i; ++j) near += distance_m(points[i], points[j]) <= 20000 ? 1 : 0;
  EXPECT_EQ(choose_pairs(points, 20000).size(), near);
}

TEST(PairPool, HoldsAsManyNearPairsAsFarOnes) {
  const auto points = support::random_network("HoldsAsManyNearPairsAsFarOnes", 1500).gauges;
  constexpr double kCutoffM = 150000;
  const PairPool pool = choose_pairs(points, kCutoffM);
  EXPECT_LE(pool.size(), 24000u);
  EXPECT_GE(pool.size(), 15000u);  // few pairs exist far below the spacing of 10 km
  EXPECT_EQ(distinct(pool).size(), pool.size());
  for (std::size_t i = 0; i < pool.size(); ++i) {
    EXPECT_EQ(pool[i].distance_m, distance_m(points[pool[i].first], points[pool[i].second]));
    EXPECT_GT(pool[i].distance_m, 0);
    EXPECT_LE(pool[i].distance_m, kCutoffM);
    EXPECT_LE(pool[i > 0 ? i - 1 : 0].distance_m, pool[i].distance_m);
  }
  // Half of all pairs within the cutoff lie beyond 0.7 of it; of the pool far fewer.
  const auto far = std::count_if(
      pool.begin(), pool.end(), [&](const PooledPair& p) { return p.distance_m > 0.7 * kCutoffM; });
  EXPECT_LT(static_cast<std::size_t>(far), pool.size() / 6);
}

TEST(PairPool, IsEmptyWithoutPairs) {
  const std::vector<MetricPoint> spot(5, MetricPoint{1, 1});
  EXPECT_TRUE(choose_pairs(spot, 100).empty());
  EXPECT_TRUE(choose_pairs({}, 100).empty());
  EXPECT_TRUE(choose_pairs({spot.data(), 1}, 100).empty());
}

TEST(EqualShares, CoverEveryItemOnce) {
  for (const std::size_t count : {0u, 1u, 7u, 15u, 100u})
    for (const std::size_t shares : {1u, 3u, 15u}) {
      EXPECT_EQ(equal_share_begin(count, shares, 0), 0u);
      EXPECT_EQ(equal_share_begin(count, shares, shares), count);
      for (std::size_t i = 0; i < shares; ++i) {
        const auto size =
            equal_share_begin(count, shares, i + 1) - equal_share_begin(count, shares, i);
        EXPECT_GE(size, count / shares);
        EXPECT_LE(size, count / shares + 1);
      }
    }
}

}  // namespace
}  // namespace gaugeloom
