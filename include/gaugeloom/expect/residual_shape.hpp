#pragma once
// The law of a standardised residual as a table of points with exponential tails.

#include <array>
#include <cstddef>
#include <span>

namespace gaugeloom {

// Points at 5, 10, ..., 95 %, never falling; beyond the first and the last an exponential with the
// mean excess found there (a Pareto's shape is more than a few dozen residuals can tell; our
// choice).
struct ResidualShape {
  static constexpr std::size_t kPoints = 19;
  static constexpr double kTail = 0.05;
  std::array<double, kPoints> points{};
  double low_excess = 0.5;   // above 0
  double high_excess = 0.5;  // above 0

  double below(double z) const;         // P(Z <= z)
  double above(double z) const;         // P(Z >= z), exact in its own tail
  double quantile(double share) const;  // 0 < share < 1
};

// A normal law of the given spread.
ResidualShape broad_shape(double spread);

// The points of a sorted sample blended with those of `prior`, which count for `prior_count` values
// more. An empty sample gives the prior. Cost: linear in the tails.
ResidualShape learned_shape(std::span<const double> sorted, const ResidualShape& prior,
                            double prior_count);

}  // namespace gaugeloom
