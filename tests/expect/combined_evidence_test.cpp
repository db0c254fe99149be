#include "gaugeloom/expect/combined_evidence.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "gaugeloom/core/random.hpp"

namespace gaugeloom {
namespace {

using Parts = std::vector<WeightedProbability>;

TEST(CombinedEvidence, SaysNothingOfNothing) { EXPECT_EQ(combined_evidence({}).probability, 0.5); }

TEST(CombinedEvidence, GivesBackASingleProbability) {
  for (const double p : {1e-12, 1e-6, 0.01, 0.2, 0.25, 0.4, 0.5, 0.6, 0.75, 0.9, 0.98}) {
    const Parts one = {{p, 3}};
    EXPECT_NEAR(combined_evidence(one).probability / p, 1, 1e-12) << p;  // rounding
    const Parts equal = {{p, 1}, {p, 2}, {p, 0.5}};
    EXPECT_NEAR(combined_evidence(equal).probability / p, 1, 1e-12) << p;
  }
}

TEST(CombinedEvidence, FollowsItsDefinition) {
  const Parts parts = {{0.01, 1}, {0.3, 2}, {0.9, 1}};
  double sum = 0;
  for (const auto& p : parts)
    sum += p.weight * std::tan((0.5 - p.probability) * std::numbers::pi) / 4;
  const CombinedEvidence got = combined_evidence(parts);
  EXPECT_NEAR(got.probability, 0.5 - std::atan(sum) / std::numbers::pi, 1e-14);  // rounding
  EXPECT_EQ(got.strongest, 0U);
}

TEST(CombinedEvidence, LetsNoOrdinaryPartCancelARareOne) {
  const Parts parts = {{1, 1}, {1e-6, 1}};
  const CombinedEvidence got = combined_evidence(parts);
  EXPECT_LT(got.probability, 3e-6);
  EXPECT_EQ(got.strongest, 1U);
}

// The standard normal law, upper tail.
double normal_above(double x) { return 0.5 * std::erfc(x / std::numbers::sqrt2); }

// By polar coordinates: Random::normal() has too light tails for this.
double normal(Random& random) {
  const double radius = std::sqrt(-2 * std::log(1 - random.uniform()));
  return radius * std::cos(2 * std::numbers::pi * random.uniform());
}

// Under the null, 8 test values of normal law with a common part, the kind of dependence the source
// simulates. Its theorem 1 is of the limit p -> 0; at 1 % as many come as should when they are
// independent or nearly the same, and up to 27 % more in between (measured here at 0.6).
TEST(CombinedEvidence, IsCalibratedUnderDependence) {
  Random random("IsCalibratedUnderDependence");
  constexpr int kTimes = 100000;
  for (const double correlation : {0.0, 0.3, 0.6, 0.9, 0.99}) {
    SCOPED_TRACE(correlation);
    int below_1_percent = 0;
    for (int i = 0; i < kTimes; ++i) {
      const double common = normal(random) * std::sqrt(correlation);
      Parts parts;
      for (int j = 0; j < 8; ++j)
        parts.push_back({normal_above(common + normal(random) * std::sqrt(1 - correlation)), 1});
      if (combined_evidence(parts).probability < 0.01) ++below_1_percent;
    }
    // 1000 expected, standard deviation 32.
    EXPECT_GT(below_1_percent, 900);
    EXPECT_LT(below_1_percent, correlation > 0 && correlation < 0.99 ? 1370 : 1100);
  }
}

}  // namespace
}  // namespace gaugeloom
