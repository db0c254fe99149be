#pragma once
// The experimental variogram of one field: half the mean squared difference of pairs, by distance.
// Sources: G. Matheron, Econ. Geology 58 (1963), p. 1246 (classical); N. Cressie and D. Hawkins,
// Math. Geology 12 (1980), p. 115 (robust: from the mean of |difference|^(1/2)).

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/geo/position.hpp"

namespace gaugeloom {

enum class VariogramEstimator { classical, robust };
enum class DistanceBins {
  equal_width,  // (0, w], (w, 2w], ... up to the cutoff; empty ones are left out
  equal_pairs,  // the pairs up to the cutoff by rising distance, the same count in each but for 1
};

struct ExperimentalVariogramOptions {
  VariogramEstimator estimator = VariogramEstimator::classical;
  DistanceBins bins = DistanceBins::equal_width;
  int bin_count = 15;   // 1 to 1000
  double cutoff_m = 0;  // pairs farther apart are left out; 0 = a third of the diagonal of the
                        // box around the points (common practice)

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

struct VariogramBin {
  std::size_t pairs = 0;
  double distance_m = 0;  // mean distance of the pairs
  double gamma = 0;       // semivariance, in the square of the field's unit
};

// Bins by rising distance; NaN values are left out. Empty when there is no pair.
// Laws (each one is a test): a constant added to the values changes nothing; values times c give
// gamma times c^2; the pairs of all bins are those within the cutoff.
// Requires:  values.size() == points.size().
// Throws:    Error{invalid_option} if options.problem() has one.
// Cost:      n^2 / 2 pairs; equal_pairs also sorts them.
std::vector<VariogramBin> experimental_variogram(std::span<const MetricPoint> points,
                                                 std::span<const double> values,
                                                 const ExperimentalVariogramOptions& options = {});

// The robust semivariance from the mean of |difference|^(1/2) over `pairs` pairs: its fourth power
// over 2 (0.457 + 0.494 / pairs).
double robust_semivariance(double mean_root_difference, std::size_t pairs);

}  // namespace gaugeloom
