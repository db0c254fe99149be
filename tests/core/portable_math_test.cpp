#include "gaugeloom/core/portable_math.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/core/random.hpp"

namespace gaugeloom {
namespace {

// Compared with the C library in long double; the bound is in units of the last place.
TEST(PortableMath, AgreesWithLongDouble) {
  Random random("AgreesWithLongDouble");
  for (int i = 0; i < 20000; ++i) {
    const double x = random.uniform(-700, 700);
    const long double exact = std::exp(static_cast<long double>(x));
    EXPECT_LE(std::fabs(static_cast<double>(portable_exp(x) / exact - 1)), 4.5e-16) << x;
    const double y = std::exp(random.uniform(-300, 300));
    const long double log_exact = std::log(static_cast<long double>(y));
    EXPECT_LE(std::fabs(static_cast<double>(portable_log(y) - log_exact)),
              4.5e-16 * std::max(1.0, std::fabs(static_cast<double>(log_exact))))
        << y;
  }
}

TEST(PortableMath, KnowsItsEdges) {
  EXPECT_EQ(portable_exp(0), 1);
  EXPECT_EQ(portable_log(1), 0);
  EXPECT_EQ(portable_exp(-800), 0);
  EXPECT_TRUE(std::isinf(portable_exp(800)));
  EXPECT_TRUE(std::isnan(portable_exp(std::nan(""))));
  EXPECT_TRUE(std::isinf(portable_log(0)));
  EXPECT_TRUE(std::isnan(portable_log(-1)));
  EXPECT_NEAR(portable_exp(-744) / std::exp(-744.0), 1, 0.3);  // one or two bits are left there
  EXPECT_DOUBLE_EQ(portable_log(1e-310), std::log(1e-310));
  EXPECT_EQ(portable_pow(3, 2), 9);
  EXPECT_NEAR(portable_pow(2, 0.5), std::sqrt(2.0), 1e-15);
}

}  // namespace
}  // namespace gaugeloom
