#pragma once
// The weights of one estimate, set by set and plainly: the slow path of the leave-one-out over
// whole records (record_leave_one_out.hpp), and what its tests and messages can ask directly.
// Source: N. Cressie, Statistics for Spatial Data, rev. ed., Wiley 1993, section 3.2.

#include <cstddef>
#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/interp/estimate.hpp"
#include "gaugeloom/interp/record_leave_one_out.hpp"
#include "gaugeloom/interp/variogram.hpp"

namespace gaugeloom {

struct WeightSet {
  EstimateStatus status = EstimateStatus::no_gauges;
  std::vector<std::size_t> neighbours;  // nearest first, ties by the lower index
  std::vector<double> weights;          // they sum to 1; empty unless status is ok
  double variance = std::numeric_limits<double>::quiet_NaN();  // kriging only
};

// The weights of exactly these neighbours for the target, which is one more observation beside
// them: it has its own nugget, and its covariance with a neighbour at the same place is the partial
// sill.
// Requires: neighbours within points, none twice; relative_noise empty or of points.size().
// Cost:     k^3 / 6.
WeightSet weights_of(std::span<const MetricPoint> points, const MetricPoint& target,
                     std::span<const std::size_t> neighbours, const Variogram& variogram,
                     const RecordLeaveOneOutOptions& options);

// The same for the `options.neighbours` nearest points whose bit is set.
//   available  one bit per point (bit i % 64 of word i / 64); empty = all
//   left_out   a point that is never a neighbour (the one that is estimated); points.size() = none
// Cost:     a search through all points, and k^3 / 6.
WeightSet neighbour_weights(std::span<const MetricPoint> points, const MetricPoint& target,
                            std::size_t left_out, std::span<const std::uint64_t> available,
                            const Variogram& variogram, const RecordLeaveOneOutOptions& options);

}  // namespace gaugeloom
