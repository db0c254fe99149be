#include <gtest/gtest.h>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/geo/gauge_index.hpp"
#include "support/nasty_networks.hpp"

namespace gaugeloom {
namespace {

std::vector<std::uint64_t> random_bits(std::size_t count, Random& random) {
  std::vector<std::uint64_t> bits((count + 63) / 64);
  for (std::size_t i = 0; i < count; ++i)
    if (random.chance(0.6)) bits[i / 64] |= std::uint64_t{1} << (i % 64);
  return bits;
}

TEST(GaugeIndex, TreeAgreesWithBruteForceToTheLastBit) {
  for (const auto& net : support::nasty_networks()) {
    SCOPED_TRACE(net.name);
    const GaugeIndex tree(net.gauges), plain(net.gauges, Search::brute_force);
    for (const MetricPoint& target : net.targets)
      for (const std::size_t count : {0U, 1U, 2U, 5U, 8U, 49U, 1000U})
        EXPECT_EQ(tree.nearest(target, count), plain.nearest(target, count)) << count;
  }
}

TEST(GaugeIndex, TreeAgreesWithBruteForceWhereSomeAreUnavailable) {
  Random random("TreeAgreesWithBruteForceWhereSomeAreUnavailable");
  for (const auto& net : support::nasty_networks()) {
    SCOPED_TRACE(net.name);
    const GaugeIndex tree(net.gauges), plain(net.gauges, Search::brute_force);
    for (const MetricPoint& target : net.targets) {
      const auto bits = random_bits(net.gauges.size(), random);
      for (const std::size_t count : {1U, 8U, 1000U})
        EXPECT_EQ(tree.nearest_available(target, count, bits),
                  plain.nearest_available(target, count, bits));
    }
  }
}

TEST(GaugeIndex, TreeAgreesWithBruteForceWithinARadius) {
  for (const auto& net : support::nasty_networks()) {
    SCOPED_TRACE(net.name);
    const GaugeIndex tree(net.gauges), plain(net.gauges, Search::brute_force);
    for (const MetricPoint& target : net.targets)
      for (const double radius_m : {-1.0, 0.0, 1000.0, 2000.0, 25000.0, 1e12})
        EXPECT_EQ(tree.within(target, radius_m), plain.within(target, radius_m)) << radius_m;
  }
}

}  // namespace
}  // namespace gaugeloom
