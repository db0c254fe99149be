#include "gaugeloom/interp/network_design.hpp"

#include <gtest/gtest.h>

#include <vector>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/interp/block_kriging.hpp"
#include "support/random_network.hpp"

namespace gaugeloom {
namespace {

const Variogram kModel{VariogramShape::exponential, 3, 40, 20000};
const KrigingOptions kAll{.max_neighbours = 0, .negative_weights = NegativeWeights::keep};

// The error variance of a block by kriging anew; of a place where it has one point.
double anew(const std::vector<MetricPoint>& gauges, const std::vector<double>& noise,
            const std::vector<MetricPoint>& block) {
  return block_kriging_weights(gauges, noise, block, {}, kModel, kAll).variance;
}

struct Case {
  std::vector<MetricPoint> gauges = support::random_network("NetworkDesign", 12).gauges;
  std::vector<double> noise;
  std::vector<MetricPoint> places = rectangle_points({30000, 30000}, 70000, 60000, 6, 5);
  std::vector<std::vector<MetricPoint>> areas = {
      rectangle_points({20000, 20000}, 30000, 20000, 3, 3),
      rectangle_points({50000, 40000}, 9000, 9000, 2, 2)};
  Case() {
    for (std::size_t i = 0; i < gauges.size(); ++i) noise.push_back(0.1 * static_cast<double>(i));
  }
  NetworkDesign design() const { return network_design(gauges, noise, places, areas, kModel, 0.7); }
};

TEST(NetworkDesign, IsThatOfKriging) {
  const Case c;
  const NetworkDesign design = c.design();
  double sum = 0;
  for (std::size_t p = 0; p < c.places.size(); ++p) {
    EXPECT_NEAR(design.place_variance[p], anew(c.gauges, c.noise, {c.places[p]}), 1e-9);
    sum += design.place_variance[p];
  }
  EXPECT_NEAR(design.region.variance, sum / 30, 1e-9);
  for (std::size_t a = 0; a < c.areas.size(); ++a)
    EXPECT_NEAR(design.areas[a].variance, anew(c.gauges, c.noise, c.areas[a]), 1e-9);
}

TEST(NetworkDesign, WithoutAGaugeIsKrigingWithoutIt) {
  const Case c;
  const NetworkDesign design = c.design();
  for (std::size_t g = 0; g < c.gauges.size(); ++g) {
    auto gauges = c.gauges;
    auto noise = c.noise;
    gauges.erase(gauges.begin() + static_cast<std::ptrdiff_t>(g));
    noise.erase(noise.begin() + static_cast<std::ptrdiff_t>(g));
    double sum = 0;
    for (const MetricPoint& place : c.places) sum += anew(gauges, noise, {place});
    EXPECT_NEAR(design.region.without[g], sum / 30, 1e-9) << g;
    EXPECT_GE(design.region.without[g], design.region.variance);
    for (std::size_t a = 0; a < c.areas.size(); ++a)
      EXPECT_NEAR(design.areas[a].without[g], anew(gauges, noise, c.areas[a]), 1e-9) << g;
  }
}

TEST(NetworkDesign, WithOneMoreIsKrigingWithIt) {
  const Case c;
  const NetworkDesign design = c.design();
  for (std::size_t p = 0; p < c.places.size(); p += 7) {
    auto gauges = c.gauges;
    auto noise = c.noise;
    gauges.push_back(c.places[p]);
    noise.push_back(0.7);
    double sum = 0;
    for (const MetricPoint& place : c.places) sum += anew(gauges, noise, {place});
    EXPECT_LE(design.region.with[p], design.region.variance);
    EXPECT_NEAR(design.region.with[p], sum / 30, 1e-9) << p;
    for (std::size_t a = 0; a < c.areas.size(); ++a)
      EXPECT_NEAR(design.areas[a].with[p], anew(gauges, noise, c.areas[a]), 1e-9) << p;
  }
}

TEST(NetworkDesign, RefusesTwoGaugesOnOneSpotThatMustAgree) {
  const std::vector<MetricPoint> gauges = {{0, 0}, {0, 0}, {5000, 0}};
  const std::vector<MetricPoint> places = {{1000, 1000}};
  const Variogram smooth{VariogramShape::exponential, 0, 1, 20000};
  EXPECT_THROW(network_design(gauges, {}, places, {}, smooth, 0), Error);
  EXPECT_NO_THROW(network_design(gauges, std::vector<double>(3, 0.1), places, {}, smooth, 0));
}

}  // namespace
}  // namespace gaugeloom
