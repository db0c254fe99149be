#include "gaugeloom/interp/depth_variogram.hpp"

#include <gtest/gtest.h>

#include <limits>
#include <vector>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/interp/climatological_variogram.hpp"

namespace gaugeloom {
namespace {

constexpr float kMissing = std::numeric_limits<float>::quiet_NaN();
const std::vector<MetricPoint> kPoints = {{0, 0}, {1000, 0}, {0, 1000}};
// Step 0: 1, 3, missing (variance 2). Step 1: dry. Step 2: 2, 4, 6 (variance 4). Step 3: one value.
const std::vector<float> kDepths = {1, 0, 2, 5, 3, 0, 4, kMissing, kMissing, 0, 6, kMissing};

TEST(DepthVariogram, AveragesTheVarianceOfWetFields) {
  EXPECT_DOUBLE_EQ(mean_field_variance({kDepths, 3, 4}), 3.0);
  EXPECT_DOUBLE_EQ(mean_field_variance({std::vector<float>(12, 0.0F), 3, 4}), 1.0);
}

TEST(DepthVariogram, TakesWhatIsGiven) {
  VariogramParts parts{VariogramShape::spherical, 0.1, 0.9, 60000, std::nullopt};
  const DepthVariogram found = depth_variogram(kPoints, {kDepths, 3, 4}, 1, parts);
  EXPECT_EQ(found.origin, VariogramOrigin::given);
  EXPECT_EQ(found.variogram.shape, VariogramShape::spherical);
  EXPECT_EQ(found.variogram.sill(), 1.0);
  EXPECT_EQ(found.variogram.range_m, 60000);
}

TEST(DepthVariogram, ScalesTheDefaultWhenDataAreTooFew) {
  const DepthVariogram found = depth_variogram(kPoints, {kDepths, 3, 4}, 1, {});
  const Variogram scaled = default_climatological_variogram(1);
  EXPECT_EQ(found.origin, VariogramOrigin::defaults);
  EXPECT_DOUBLE_EQ(found.variogram.nugget, 3 * scaled.nugget);
  EXPECT_DOUBLE_EQ(found.variogram.partial_sill, 3 * scaled.partial_sill);
  EXPECT_EQ(found.variogram.range_m, scaled.range_m);
  VariogramParts parts;
  parts.range_m = 7000;
  EXPECT_EQ(depth_variogram(kPoints, {kDepths, 3, 4}, 1, parts).variogram.range_m, 7000);
}

TEST(DepthVariogram, RefusesAVariogramThatBreaksItsRules) {
  VariogramParts parts{VariogramShape::spherical, 0.1, 0.9, -1, std::nullopt};
  EXPECT_THROW(depth_variogram(kPoints, {kDepths, 3, 4}, 1, parts), Error);
}

}  // namespace
}  // namespace gaugeloom
