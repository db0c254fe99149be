#include <gtest/gtest.h>

#include <cmath>
#include <numeric>
#include <vector>

#include "fill/spread_total_internal.hpp"
#include "gaugeloom/core/random.hpp"

namespace gaugeloom::fill_internal {
namespace {

TEST(SplitThousandthsProperty, KeepsTheTotalAndTheShares) {
  Random random("split thousandths");
  for (int round = 0; round < 500; ++round) {
    std::vector<double> shape(1 + random.below(300));
    for (double& s : shape) s = random.chance(0.6) ? 0 : random.exponential(1);
    shape[random.below(shape.size())] = random.uniform(1e-6, 10);
    const double total_mm = random.exponential(40);
    const std::vector<long> parts = split_thousandths(total_mm, shape);
    const long total = std::lround(total_mm * 1000);
    ASSERT_EQ(std::accumulate(parts.begin(), parts.end(), 0L), total);
    const double sum = std::accumulate(shape.begin(), shape.end(), 0.0);
    for (std::size_t i = 0; i < parts.size(); ++i) {
      const double exact = static_cast<double>(total) * shape[i] / sum;
      ASSERT_LE(std::fabs(static_cast<double>(parts[i]) - exact), 1 + 1e-6);
      if (shape[i] <= 0) {
        ASSERT_EQ(parts[i], 0);
      }
    }
  }
}

}  // namespace
}  // namespace gaugeloom::fill_internal
