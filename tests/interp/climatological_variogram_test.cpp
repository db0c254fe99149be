#include "gaugeloom/interp/climatological_variogram.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/random.hpp"
#include "support/random_network.hpp"

namespace gaugeloom {
namespace {

// Fields of moving averages of white noise: each step scatters bumps of one width over the square,
// whose sum is a smooth random field. The rain is the square of what stands above 0.
struct Record {
  std::vector<MetricPoint> points;
  std::vector<float> depths;
  std::size_t steps = 0;
  FieldRecord view() const { return {depths, points.size(), steps}; }
};

Record bumpy_record(int gauges, std::size_t steps, double width_m) {
  Record record;
  record.points = support::random_network("bumpy_record", gauges).gauges;
  record.steps = steps;
  record.depths.resize(record.points.size() * steps);
  Random random("bumpy_record_depths");
  const double side_m = 10000 * std::sqrt(static_cast<double>(gauges));
  for (std::size_t step = 0; step < steps; ++step) {
    std::vector<double> field(record.points.size(), 0.3);
    for (int bump = 0; bump < 150; ++bump) {
      const double x = random.uniform(-0.2, 1.2) * side_m;
      const MetricPoint centre{x, random.uniform(-0.2, 1.2) * side_m};
      const double height = random.normal();
      for (std::size_t i = 0; i < field.size(); ++i) {
        const double ratio = distance_m(record.points[i], centre) / width_m;
        if (ratio < 1) field[i] += height * (1 - ratio) * (1 - ratio);
      }
    }
    for (std::size_t i = 0; i < field.size(); ++i) {
      const double root = std::max(field[i], 0.0);
      record.depths[i * steps + step] = static_cast<float>(4 * root * root);
    }
  }
  return record;
}

TEST(ClimatologicalVariogram, IsTheDefaultWhereDataAreTooFew) {
  const auto record = bumpy_record(20, 10, 30000);  // ten steps
  const auto found = climatological_variogram(record.points, record.view(), 1);
  EXPECT_FALSE(found.learned);
  EXPECT_LE(found.fields_used, 10u);
  EXPECT_EQ(found.variogram, default_climatological_variogram(1));
  EXPECT_TRUE(found.bins.empty());
  const auto few = bumpy_record(7, 60, 30000);  // seven gauges
  EXPECT_FALSE(climatological_variogram(few.points, few.view(), 24).learned);
}

TEST(ClimatologicalVariogram, KeepsTheAskedShapeInTheDefault) {
  EXPECT_EQ(climatological_variogram({}, {}, 1, VariogramShape::spherical).variogram.shape,
            VariogramShape::spherical);
}

TEST(ClimatologicalVariogram, HasTheDesignsDefaultRanges) {
  for (const auto& [hours, range_m] : std::vector<std::pair<double, double>>{
           {0.05, 15000}, {0.25, 15000}, {1, 25000}, {6, 35000}, {24, 45000}, {700, 45000}})
    EXPECT_NEAR(default_climatological_variogram(hours).range_m, range_m, 1e-6) << hours;
  EXPECT_NEAR(default_climatological_variogram(0.5).range_m, 20000, 1e-6);
  EXPECT_EQ(default_climatological_variogram(3).sill(), 1);
  EXPECT_THROW(default_climatological_variogram(0), Error);
  EXPECT_THROW(climatological_variogram({}, {}, std::nan("")), Error);
}

TEST(ClimatologicalVariogram, LearnsNothingFromDryOrMissingRecords) {
  auto record = bumpy_record(30, 40, 30000);
  std::fill(record.depths.begin(), record.depths.end(), 0.0F);
  EXPECT_FALSE(climatological_variogram(record.points, record.view(), 1).learned);
  std::fill(record.depths.begin(), record.depths.end(), std::numeric_limits<float>::quiet_NaN());
  const auto found = climatological_variogram(record.points, record.view(), 1);
  EXPECT_FALSE(found.learned);
  EXPECT_EQ(found.fields_used, 0u);
}

TEST(ClimatologicalVariogram, SurvivesGaugesOnOneSpot) {
  auto record = bumpy_record(30, 40, 30000);
  std::fill(record.points.begin(), record.points.end(), MetricPoint{5, 5});
  EXPECT_FALSE(climatological_variogram(record.points, record.view(), 1).learned);
}

TEST(ClimatologicalVariogram, HasSillOneAndFollowsTheRangeOfTheField) {
  double before = 0;
  for (const double width_m : {15000.0, 30000.0, 60000.0}) {
    const auto record = bumpy_record(120, 60, width_m);
    const auto found = climatological_variogram(record.points, record.view(), 1);
    ASSERT_TRUE(found.learned);
    EXPECT_NEAR(found.variogram.sill(), 1, 1e-12);
    EXPECT_EQ(found.variogram.problem(), std::nullopt);
    EXPECT_EQ(found.bins.size(), 15u);
    double half_m = 0;  // where half the sill is reached
    while (found.variogram.gamma(half_m) < 0.5) half_m += 100;
    EXPECT_GT(half_m, 1.3 * before);
    EXPECT_GT(half_m, 0.15 * width_m);
    EXPECT_LT(half_m, 0.7 * width_m);  // gauges 10 km apart see the narrowest only roughly
    before = half_m;
  }
}

TEST(ClimatologicalVariogram, IgnoresTheUnitOfTheDepths) {
  const auto record = bumpy_record(60, 50, 40000);
  auto quadrupled = record;
  for (float& depth : quadrupled.depths) depth *= 4;
  const auto a = climatological_variogram(record.points, record.view(), 1);
  const auto b = climatological_variogram(quadrupled.points, quadrupled.view(), 1);
  EXPECT_NEAR(b.variogram.range_m / a.variogram.range_m, 1, 1e-5);
  EXPECT_NEAR(b.variogram.nugget, a.variogram.nugget, 1e-5);
}

TEST(ClimatologicalVariogram, IsTheSameForAnyNumberOfThreads) {
  const auto record = bumpy_record(60, 50, 40000);
  const auto one = climatological_variogram(record.points, record.view(), 1);
  for (const int threads : {2, 5, 0})
    EXPECT_EQ(climatological_variogram(record.points, record.view(), 1, {}, threads).variogram,
              one.variogram);
}

TEST(ClimatologicalVariogram, FitsTheAskedShape) {
  const auto record = bumpy_record(60, 50, 40000);
  for (const auto shape : {VariogramShape::spherical, VariogramShape::exponential,
                           VariogramShape::gaussian, VariogramShape::matern})
    EXPECT_EQ(climatological_variogram(record.points, record.view(), 1, shape).variogram.shape,
              shape);
}

}  // namespace
}  // namespace gaugeloom
