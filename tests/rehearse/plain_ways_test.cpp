#include "gaugeloom/rehearse/plain_ways.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace gaugeloom {
namespace {

constexpr float kMissing = std::numeric_limits<float>::quiet_NaN();

// A target at 0 and gauges at 1, 2, 3, 4 km in a line; two steps, the second known to all.
struct Line {
  Network network;
  RainTable known;
  Line()
      : known(StepAxis(Instant{}, std::chrono::hours(1), 2), 5,
              {kMissing, 2,  //
               4, 4,         //
               8, 1,         //
               0, 2,         //
               2, 2}) {
    for (int i = 0; i < 5; ++i) {
      Gauge gauge;
      gauge.id = std::to_string(i);
      gauge.position = {1000.0 * i, 0};
      network.gauges.push_back(gauge);
    }
  }
};

TEST(PlainWays, AgreeWithAHandComputedLine) {
  const Line line;
  const PlainDepths plain = PlainWays(line.network, line.known).at(0, 0);
  EXPECT_DOUBLE_EQ(plain.nearest, 4);
  // weights 1, 1/4, 1/9, 1/16 (times 1e-6): sum 205/144
  EXPECT_NEAR(plain.inverse, (4 + 8.0 / 4 + 0 + 2.0 / 16) * 144 / 205, 1e-12);
  // normals 2; 4, 4.5, 1, 2
  EXPECT_NEAR(plain.normal_ratio, (4 * 2 / 4.0 + 8 * 2 / 4.5 + 0 + 2 * 2 / 2.0) / 4, 1e-12);
}

TEST(PlainWays, PassOverMissingGauges) {
  Line line;
  line.known.set_missing(1, 0);
  const PlainDepths plain = PlainWays(line.network, line.known).at(0, 0);
  EXPECT_DOUBLE_EQ(plain.nearest, 8);
  EXPECT_TRUE(std::isnan(plain.normal_ratio));  // of fewer than four
  for (std::size_t g = 2; g < 5; ++g) line.known.set_missing(g, 0);
  const PlainDepths none = PlainWays(line.network, line.known).at(0, 0);
  EXPECT_TRUE(std::isnan(none.nearest) && std::isnan(none.inverse));
}

}  // namespace
}  // namespace gaugeloom
