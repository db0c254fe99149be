#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "gaugeloom/core/random.hpp"
#include "gaugeloom/geo/gauge_index.hpp"
#include "gaugeloom/interp/inverse_distance.hpp"
#include "gaugeloom/interp/ordinary_kriging.hpp"
#include "gaugeloom/interp/surface.hpp"
#include "support/random_network.hpp"

namespace gaugeloom {
namespace {

struct Case {
  std::string name;
  std::vector<MetricPoint> gauges;
  Grid grid;
};

std::vector<Case> cases() {
  std::vector<Case> all;
  all.push_back({"scattered", support::random_network("surface", 120).gauges,
                 grid_over({-5000, -5000, 115000, 115000}, 1900)});
  all.push_back({"dense cells", support::random_network("surface fine", 60).gauges,
                 grid_over({30000, 30000, 36000, 34000}, 100)});
  Case clustered{"clustered", {}, grid_over({0, 0, 40000, 30000}, 910)};
  Random random("surface clustered");
  for (int i = 0; i < 90; ++i)
    clustered.gauges.push_back({20000 + random.normal() * 400, 15000 + random.normal() * 400});
  clustered.gauges.push_back({1000, 1000});
  all.push_back(clustered);
  Case line{"on a line", {}, grid_over({-1000.5, -7000, 30000, 7000}, 770)};
  for (int i = 0; i < 30; ++i) line.gauges.push_back({1000.0 * i, 0});
  all.push_back(line);
  Case doubled{"each twice", support::random_network("surface twice", 25).gauges,
               grid_over({0, 0, 50000, 50000}, 2100)};
  doubled.gauges.insert(doubled.gauges.end(), doubled.gauges.begin(), doubled.gauges.begin() + 25);
  all.push_back(doubled);
  all.push_back({"five gauges", support::random_network("surface five", 5).gauges,
                 grid_over({0, 0, 20000, 20000}, 700)});
  all.push_back({"one gauge", {{5000, 5000}}, grid_over({0, 0, 10000, 10000}, 1000)});
  Case ties{"cells on gauges, ties", {}, grid_over({-500, -500, 9500, 9500}, 500)};
  for (int i = 0; i < 100; ++i)
    ties.gauges.push_back({i % 10 * 1000.0 - 250, i / 10 * 1000.0 + 250});
  all.push_back(ties);
  return all;
}

std::vector<double> field_at(std::size_t count, const char* name) {
  Random random(name);
  std::vector<double> values;
  for (std::size_t i = 0; i < count; ++i) values.push_back(random.exponential(8));
  return values;
}

struct Result {
  std::vector<double> value, variance, nearest_m;
};

Result whole(const Surface& surface, const Grid& grid) {
  const std::size_t n = grid.cell_count();
  Result result{std::vector<double>(n), std::vector<double>(n), std::vector<double>(n)};
  surface.compute(grid, {0, 0, grid.columns, grid.rows},
                  {result.value, result.variance, result.nearest_m});
  return result;
}

// From the nearest gauges of more: they leave softly.
Estimate krige_softly(const Case& c, const std::vector<double>& values,
                      const std::vector<double>& noise, const MetricPoint& target,
                      const SurfaceOptions& options) {
  const auto near =
      GaugeIndex(c.gauges).nearest(target, static_cast<std::size_t>(options.neighbours));
  std::vector<MetricPoint> gauges;
  std::vector<double> soft, variance;
  for (const Neighbour& gauge : near) {
    gauges.push_back(c.gauges[gauge.index]);
    soft.push_back(
        soft_edge_variance(gauge.distance_m, near.back().distance_m, options.variogram.sill()));
    variance.push_back((noise.empty() ? 0 : noise[gauge.index]) + soft.back());
  }
  const KrigingWeights found =
      kriging_weights(gauges, variance, target, options.variogram, {0, options.negative_weights});
  Estimate estimate;
  estimate.status = found.status;
  if (found.status != EstimateStatus::ok) return estimate;
  estimate.value = 0;
  estimate.variance = found.variance;
  for (std::size_t i = 0; i < near.size(); ++i) {
    estimate.value += found.weights[i] * values[near[i].index];
    estimate.variance -= found.weights[i] * found.weights[i] * soft[i];
  }
  return estimate;
}

// Every seventh cell of the fast surface against the plain method. Tolerance: rounding, relative to
// the largest value (sill).
void compare(const Case& c, const Result& got, const std::vector<double>& values,
             const std::vector<double>& noise, const SurfaceOptions& options) {
  std::vector<MetricPoint> targets;
  std::vector<std::size_t> cells;
  for (std::size_t i = 0; i < c.grid.cell_count(); i += 7) {
    targets.push_back(c.grid.centre(i % c.grid.columns, i / c.grid.columns));
    cells.push_back(i);
  }
  const bool kriging = options.method == InterpolationMethod::ordinary_kriging;
  auto want =
      kriging ? ordinary_kriging(c.gauges, values, noise, targets, options.variogram,
                                 {options.neighbours, options.negative_weights})
              : inverse_distance(c.gauges, values, targets, {options.power, options.neighbours});
  if (kriging && options.neighbours > 0 &&
      c.gauges.size() > static_cast<std::size_t>(options.neighbours))
    for (std::size_t t = 0; t < targets.size(); ++t)
      want[t] = krige_softly(c, values, noise, targets[t], options);
  const double largest = *std::max_element(values.begin(), values.end());
  for (std::size_t t = 0; t < targets.size(); ++t) {
    const std::size_t i = cells[t];
    if (want[t].status != EstimateStatus::ok) {
      EXPECT_TRUE(std::isnan(got.value[i]) && std::isnan(got.variance[i])) << i;
      continue;
    }
    ASSERT_NEAR(got.value[i], want[t].value, 1e-9 * largest) << "cell " << i;
    if (kriging)
      ASSERT_NEAR(got.variance[i], want[t].variance, 1e-9 * options.variogram.sill()) << i;
    else
      ASSERT_TRUE(std::isnan(got.variance[i]));
    double nearest_m = 1e300;
    for (const MetricPoint& gauge : c.gauges)
      nearest_m = std::min(nearest_m, distance_m(gauge, targets[t]));
    ASSERT_NEAR(got.nearest_m[i], nearest_m, 1e-9 * nearest_m);
  }
}

TEST(Surface, KrigesAsThePlainMethod) {
  const std::vector<Variogram> variograms = {{VariogramShape::spherical, 2, 18, 60000},
                                             {VariogramShape::exponential, 0.5, 20, 15000},
                                             {VariogramShape::gaussian, 3, 9, 8000},
                                             {VariogramShape::matern, 1, 4, 9000, 1.2}};
  for (const Case& c : cases()) {
    const auto values = field_at(c.gauges.size(), "values");
    const auto noise = field_at(c.gauges.size(), "noise");
    for (const Variogram& variogram : variograms)
      for (const auto negative : {NegativeWeights::keep, NegativeWeights::drop})
        for (const int neighbours : {16, 12, 7, 0}) {
          SCOPED_TRACE(c.name + ", " + std::string(word(variogram.shape)) + ", " +
                       std::to_string(neighbours));
          SurfaceOptions options;
          options.variogram = variogram;
          options.negative_weights = negative;
          options.neighbours = neighbours;
          // Bessel functions are slow: small networks say enough.
          if (variogram.shape == VariogramShape::matern && c.gauges.size() > 5) continue;
          compare(c, whole(Surface(c.gauges, values, noise, options), c.grid), values, noise,
                  options);
        }
  }
}

TEST(Surface, KrigesWithoutNuggetOrNoiseAsThePlainMethod) {
  for (const Case& c : cases()) {
    SCOPED_TRACE(c.name);
    const auto values = field_at(c.gauges.size(), "values");
    SurfaceOptions options;
    options.variogram = {VariogramShape::exponential, 0, 20, 30000};
    compare(c, whole(Surface(c.gauges, values, {}, options), c.grid), values, {}, options);
    options.neighbours = 0;
    compare(c, whole(Surface(c.gauges, values, {}, options), c.grid), values, {}, options);
  }
}

TEST(Surface, WeighsByDistanceAsThePlainMethod) {
  for (const Case& c : cases())
    for (const double power : {0.0, 1.0, 2.0, 2.5, 3.0, 4.0}) {
      SCOPED_TRACE(c.name + ", power " + std::to_string(power));
      const auto values = field_at(c.gauges.size(), "values");
      SurfaceOptions options;
      options.method = InterpolationMethod::inverse_distance;
      options.power = power;
      compare(c, whole(Surface(c.gauges, values, {}, options), c.grid), values, {}, options);
      options.neighbours = 0;
      compare(c, whole(Surface(c.gauges, values, {}, options), c.grid), values, {}, options);
    }
}

}  // namespace
}  // namespace gaugeloom
