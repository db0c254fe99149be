#include "gaugeloom/core/normal_law.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace gaugeloom {
namespace {

TEST(NormalLaw, AgreesWithTheCLibrary) {
  for (double z = -7; z <= 7; z += 0.01) {
    SCOPED_TRACE(z);
    EXPECT_NEAR(normal_share(z), 0.5 * std::erfc(-z / std::sqrt(2.0)), 1e-7);
  }
}

TEST(NormalLaw, FindsTheQuantileOfAShare) {
  EXPECT_NEAR(normal_quantile(0.5), 0, 1e-6);
  EXPECT_NEAR(normal_quantile(0.95), 1.644854, 1e-5);  // any table of the normal law
  EXPECT_NEAR(normal_quantile(0.025), -1.959964, 1e-5);
  for (const double share : {0.0001, 0.01, 0.3, 0.77, 0.999})
    EXPECT_NEAR(normal_share(normal_quantile(share)), share, 1e-9);
}

}  // namespace
}  // namespace gaugeloom
