#include "gaugeloom/storms/storm_overview.hpp"

#include <gtest/gtest.h>

#include <limits>

namespace gaugeloom {
namespace {

TEST(StormOverview, WettestIsTheFirstOfTheLargestMeans) {
  std::vector<StormOverview> storms(4);
  storms[0].mean_mm = std::numeric_limits<double>::quiet_NaN();  // no gauge has a total
  EXPECT_EQ(wettest_storm(std::span(storms).first(1)), std::nullopt);
  storms[1].mean_mm = 3;
  storms[2].mean_mm = 7;
  storms[3].mean_mm = 7;
  EXPECT_EQ(wettest_storm(storms), 2U);
  EXPECT_EQ(wettest_storm({}), std::nullopt);
}

}  // namespace
}  // namespace gaugeloom
