#pragma once
// Ordinary kriging of one field from gauges to targets, the plain way: one dense solve per target.
// The fast paths of this room are tested against it.
// Source: N. Cressie, Statistics for Spatial Data, rev. ed., Wiley 1993, section 3.2.

#include <cstddef>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/interp/estimate.hpp"
#include "gaugeloom/interp/variogram.hpp"

namespace gaugeloom {

struct KrigingOptions {
  int max_neighbours = 16;  // the nearest gauges used per target; 0 = all
  NegativeWeights negative_weights = NegativeWeights::keep;

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

// The linear estimate of one target: sum of weights[i] * value of gauge gauges[i].
struct KrigingWeights {
  EstimateStatus status = EstimateStatus::no_gauges;
  std::vector<std::size_t> gauges;  // the neighbours by rising index; empty unless ok
  std::vector<double> weights;      // they sum to 1
  double variance = std::numeric_limits<double>::quiet_NaN();
  double lagrange = std::numeric_limits<double>::quiet_NaN();  // mu of C w + mu 1 = c, 1'w = 1
};

// A Cholesky pivot at or below this share of the sill means singular_system. Our choice: far above
// rounding (1e-16), far below any pivot that still carries four digits.
inline constexpr double kSingularPivot = 1e-12;

// Most gauges that the fast paths krige from all at once. Our choice: the matrices take 130 MB, and
// a cell of a map some milliseconds.
inline constexpr std::size_t kMostGlobalGauges = 2000;

// The weights of one target.
//
//   gauges                n positions in the network's metric CRS
//   measurement_variance  empty, or n variances >= 0, each added to its gauge's diagonal entry
//   target                a position in the same CRS
//
// Conventions:
//   - the nugget applies between any two different gauges, also at distance 0: their covariance is
//     variogram.structured_covariance(h). Two gauges at one place are thus solvable with a nugget
//     (or with a measurement variance each) and are a singular_system without;
//   - the target's own nugget is part of the variance: it is that of a new observation, C0 = sill;
//   - a target on one gauge shares the nugget of that gauge (covariance = sill), so that kriging is
//     exact there unless the gauge has a measurement variance. A target on two or more gauges at
//     one place is a new observation beside them (covariance = partial sill);
//   - the nearest gauges are taken by distance, ties by lower index;
//   - dropped negative weights become 0, the rest is rescaled to sum 1, the variance becomes
//     C0 - 2 w'c + w'Cw for these weights; lagrange stays that of the full system.
// Requires:  finite coordinates; a measurement variance per gauge or none.
// Throws:    Error{invalid_option} if options or variogram have a problem(). Never for a target
//            that cannot be estimated: that is its status.
// Cost:      n distances and one dense solve, k^3 for k gauges used.
KrigingWeights kriging_weights(std::span<const MetricPoint> gauges,
                               std::span<const double> measurement_variance,
                               const MetricPoint& target, const Variogram& variogram,
                               const KrigingOptions& options = {});

// Estimates the field at each target.
//
//   values   n values over one common interval, in the gauges' order; all finite
//   returns  m estimates, in the order of `targets`
//
// Laws (each one is a test):
//   (1) a constant field stays constant;
//   (2) a target on one gauge without measurement variance gets that gauge's value, variance 0;
//   (3) the order of the gauges does not matter (but for rounding and equal distances);
//   (4) the estimate is linear in the values; the variance does not depend on them;
//   (5) a variogram and measurement variances multiplied by c give the same estimate and c times
//       the variance;
//   (6) moving or turning everything together changes nothing;
//   (7) without dropped weights, a further neighbour never raises the variance.
// Can be negative where values are not: weights may be. The caller decides whether to clip, and
// must record it.
//
// Requires:  values.size() == gauges.size(); leave missing gauges out beforehand.
// Throws:    as kriging_weights.
// Cost:      m times that of kriging_weights.
std::vector<Estimate> ordinary_kriging(std::span<const MetricPoint> gauges,
                                       std::span<const double> values,
                                       std::span<const double> measurement_variance,
                                       std::span<const MetricPoint> targets,
                                       const Variogram& variogram,
                                       const KrigingOptions& options = {});

}  // namespace gaugeloom
