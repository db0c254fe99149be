#include "gaugeloom/rehearse/poisson_interval.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace gaugeloom {
namespace {

// Exact 95 % limits of a Poisson mean. Source: the usual table of such limits (for instance
// E. S. Pearson and H. O. Hartley, Biometrika Tables for Statisticians 1, table 40), from memory.
TEST(PoissonInterval, AgreesWithThePrintedTable) {
  struct Row {
    std::size_t count;
    double low, high;
  };
  for (const Row& row : {Row{0, 0, 3.689}, Row{1, 0.0253, 5.572}, Row{2, 0.242, 7.225},
                         Row{5, 1.623, 11.668}, Row{10, 4.795, 18.390}, Row{30, 20.241, 42.827}}) {
    SCOPED_TRACE(row.count);
    const RateInterval rate = poisson_interval(row.count, 1);
    EXPECT_NEAR(rate.low, row.low, 6e-4);  // the table's last digit
    EXPECT_NEAR(rate.high, row.high, 6e-4);
  }
}

TEST(PoissonInterval, FallsWithExposure) {
  const RateInterval rate = poisson_interval(4, 20);
  EXPECT_NEAR(rate.rate, 0.2, 1e-12);
  EXPECT_NEAR(rate.low, poisson_interval(4, 1).low / 20, 1e-9);
  EXPECT_NEAR(rate.high, poisson_interval(4, 1).high / 20, 1e-9);
}

TEST(PoissonInterval, SaysNothingWithoutExposure) {
  EXPECT_TRUE(std::isnan(poisson_interval(3, 0).rate));
  EXPECT_TRUE(std::isnan(poisson_interval(0, 0).high));
}

TEST(PoissonInterval, HoldsForLargeCounts) {
  // Far out the interval is that of a normal law, count +- 1.96 sqrt(count), a little to the right.
  const RateInterval rate = poisson_interval(2500, 1);
  EXPECT_NEAR(rate.low, 2500 - 1.96 * 50, 3);
  EXPECT_NEAR(rate.high, 2500 + 1.96 * 50, 3);
}

}  // namespace
}  // namespace gaugeloom
