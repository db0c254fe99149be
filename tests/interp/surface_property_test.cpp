#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/random.hpp"
#include "gaugeloom/interp/ordinary_kriging.hpp"
#include "gaugeloom/interp/surface.hpp"
#include "support/random_network.hpp"

namespace gaugeloom {
namespace {

struct Field {
  std::vector<MetricPoint> gauges;
  std::vector<double> values, noise;
};

Field field(const char* name, int gauges) {
  Random random(name);
  Field result{support::random_network(name, gauges).gauges, {}, {}};
  for (int i = 0; i < gauges; ++i) {
    result.values.push_back(random.exponential(5));
    result.noise.push_back(random.uniform(0, 0.3));
  }
  return result;
}

std::vector<double> in_blocks(const Surface& surface, const Grid& grid, std::size_t columns,
                              std::size_t rows) {
  std::vector<double> all(3 * grid.cell_count());
  for (std::size_t row = 0; row < grid.rows; row += rows)
    for (std::size_t column = 0; column < grid.columns; column += columns) {
      const GridBlock block{column, row, std::min(columns, grid.columns - column),
                            std::min(rows, grid.rows - row)};
      const std::size_t n = block.cell_count();
      std::vector<double> value(n), variance(n), nearest_m(n);
      surface.compute(grid, block, {value, variance, nearest_m});
      for (std::size_t i = 0; i < n; ++i) {
        const std::size_t at =
            (row + i / block.columns) * grid.columns + column + i % block.columns;
        all[at] = value[i];
        all[grid.cell_count() + at] = variance[i];
        all[2 * grid.cell_count() + at] = nearest_m[i];
      }
    }
  return all;
}

bool same_bytes(const std::vector<double>& a, const std::vector<double>& b) {
  return a.size() == b.size() && std::memcmp(a.data(), b.data(), a.size() * sizeof(double)) == 0;
}

std::vector<SurfaceOptions> all_options() {
  std::vector<SurfaceOptions> all(8);
  all[0].variogram = {VariogramShape::spherical, 1, 9, 40000};
  all[0].negative_weights = NegativeWeights::drop;
  all[1].variogram = {VariogramShape::exponential, 1, 9, 20000};
  all[2].variogram = {VariogramShape::gaussian, 1, 9, 20000};
  all[2].neighbours = 9;
  all[3].method = InterpolationMethod::inverse_distance;
  all[4].method = InterpolationMethod::inverse_distance;
  all[4].power = 1.7;
  for (std::size_t i = 5; i < 8; ++i) {  // from all gauges: the first, the second and the fourth
    all[i] = all[i == 7 ? 3 : i - 5];
    all[i].neighbours = 0;
  }
  return all;
}

TEST(Surface, DoesNotDependOnTheBlocks) {
  const Field f = field("DoesNotDependOnTheBlocks", 150);
  const Grid grid = grid_over({-4000, 0, 130000, 90000}, 800);
  for (const SurfaceOptions& options : all_options()) {
    const Surface surface(f.gauges, f.values, f.noise, options);
    const auto whole = in_blocks(surface, grid, grid.columns, grid.rows);
    EXPECT_TRUE(same_bytes(whole, in_blocks(surface, grid, 64, 64)));
    EXPECT_TRUE(same_bytes(whole, in_blocks(surface, grid, 37, 11)));
    EXPECT_TRUE(same_bytes(whole, in_blocks(surface, grid, grid.columns, 1)));
  }
}

TEST(Surface, HasTheSameBytesAtEveryVectorLevel) {
  const Field f = field("HasTheSameBytesAtEveryVectorLevel", 100);
  const Grid grid = grid_over({0, 0, 100000, 100000}, 1100);
  for (SurfaceOptions options : all_options()) {
    options.level = VectorLevel::baseline;
    const auto want =
        in_blocks(Surface(f.gauges, f.values, f.noise, options), grid, grid.columns, grid.rows);
    for (const VectorLevel level : supported_vector_levels()) {
      options.level = level;
      EXPECT_TRUE(same_bytes(want, in_blocks(Surface(f.gauges, f.values, f.noise, options), grid,
                                             grid.columns, grid.rows)))
          << word(level);
    }
  }
}

TEST(Surface, KeepsAConstantField) {
  Field f = field("KeepsAConstantField", 40);
  f.values.assign(40, 3.5);
  const Grid grid = grid_over({0, 0, 60000, 60000}, 1000);
  for (const SurfaceOptions& options : all_options()) {
    std::vector<double> value(grid.cell_count());
    Surface(f.gauges, f.values, f.noise, options)
        .compute(grid, {0, 0, grid.columns, grid.rows}, {value, {}, {}});
    for (const double v : value) ASSERT_NEAR(v, 3.5, 1e-11);  // rounding
  }
}

TEST(Surface, GivesTheSameValueWithAndWithoutVariance) {
  const Field f = field("GivesTheSameValueWithAndWithoutVariance", 40);
  const Grid grid = grid_over({0, 0, 60000, 60000}, 1500);
  for (const SurfaceOptions& options : all_options()) {
    const Surface surface(f.gauges, f.values, f.noise, options);
    const GridBlock block{0, 0, grid.columns, grid.rows};
    std::vector<double> with(grid.cell_count()), without(grid.cell_count());
    std::vector<double> variance(grid.cell_count());
    surface.compute(grid, block, {with, variance, {}});
    surface.compute(grid, block, {without, {}, {}});
    EXPECT_TRUE(same_bytes(with, without));
  }
}

// The largest step between two cells of a row beside the steps around it.
double largest_jump(const std::vector<double>& row) {
  double largest = 0;
  for (std::size_t i = 2; i + 3 < row.size(); ++i) {
    std::array<double, 4> around = {row[i] - row[i - 1], row[i - 1] - row[i - 2],
                                    row[i + 2] - row[i + 1], row[i + 3] - row[i + 2]};
    std::ranges::sort(around);
    largest = std::max(largest, std::abs(row[i + 1] - row[i] - (around[1] + around[2]) / 2));
  }
  return largest;
}

TEST(Surface, HasNoEdgesWhereNeighboursChange) {
  const Field f = field("HasNoEdgesWhereNeighboursChange", 150);
  const Grid grid{30000, 52000, 5, 5, 12000, 2};
  const GridBlock row{0, 0, grid.columns, 1};
  std::vector<MetricPoint> places;
  for (std::size_t i = 0; i < grid.columns; ++i) places.push_back(grid.centre(i, 0));
  SurfaceOptions options;
  options.variogram = {VariogramShape::spherical, 0, 9, 40000};
  for (const int neighbours : {12, 16, 0})
    for (const auto negative : {NegativeWeights::keep, NegativeWeights::drop}) {
      options.neighbours = neighbours;
      options.negative_weights = negative;
      std::vector<double> value(grid.columns), variance(grid.columns);
      Surface(f.gauges, f.values, {}, options).compute(grid, row, {value, variance, {}});
      EXPECT_LT(largest_jump(value), 0.01) << neighbours;
      EXPECT_LT(largest_jump(variance), 0.01) << neighbours;
    }
  std::vector<double> hard;  // what the plain method does
  for (const Estimate& one :
       ordinary_kriging(f.gauges, f.values, {}, places, options.variogram, {12}))
    hard.push_back(one.value);
  EXPECT_GT(largest_jump(hard), 0.05);
}

TEST(Surface, RefusesOptionsOutOfRange) {
  const Field f = field("RefusesOptionsOutOfRange", 5);
  SurfaceOptions options;
  options.neighbours = -1;
  EXPECT_THROW(Surface(f.gauges, f.values, {}, options), Error);
  options.neighbours = kMaxSurfaceNeighbours + 1;
  EXPECT_THROW(Surface(f.gauges, f.values, {}, options), Error);
  options.neighbours = 4;
  options.variogram.range_m = -1;
  EXPECT_THROW(Surface(f.gauges, f.values, {}, options), Error);
  options.method = InterpolationMethod::inverse_distance;
  EXPECT_NO_THROW(Surface(f.gauges, f.values, {}, options));
  options.power = -1;
  EXPECT_THROW(Surface(f.gauges, f.values, {}, options), Error);
}

TEST(Surface, RefusesToKrigeFromAllOfTooMany) {
  const Field f = field("RefusesToKrigeFromAllOfTooMany", kMostGlobalGauges + 1);
  SurfaceOptions options;
  options.neighbours = 0;
  EXPECT_THROW(Surface(f.gauges, f.values, {}, options), Error);
  options.method = InterpolationMethod::inverse_distance;
  EXPECT_NO_THROW(Surface(f.gauges, f.values, {}, options));
}

}  // namespace
}  // namespace gaugeloom
