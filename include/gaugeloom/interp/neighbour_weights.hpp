#pragma once
// The weights of one estimate, one by one and plainly: for a single target, for messages, and as
// the slow path of the leave-one-out over whole records (record_leave_one_out.hpp).
// Source: N. Cressie, Statistics for Spatial Data, rev. ed., Wiley 1993, section 3.2.

#include <cstddef>
#include <cstdint>
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
  std::vector<double> weights;          // sum 1; empty unless status is ok
  double variance = std::numeric_limits<double>::quiet_NaN();  // kriging only, in units of gamma
};

// Weights of the `options.neighbours` nearest points whose bit is set, for the target.
//   available  one bit per point (bit i of word w = point 64 w + i); empty = all
//   left_out   a point that is never a neighbour (the one that is estimated); points.size() = none
// At a point that is not left out kriging is not made exact: the target has its own nugget.
// Cost: a search through all points, and k^3.
WeightSet neighbour_weights(std::span<const MetricPoint> points, MetricPoint target,
                            std::size_t left_out, std::span<const std::uint64_t> available,
                            const Variogram& variogram, const RecordLeaveOneOutOptions& options);

// The weights of exactly these neighbours, in the given order.
WeightSet weights_of(std::span<const MetricPoint> points, MetricPoint target,
                     std::span<const std::size_t> neighbours, const Variogram& variogram,
                     const RecordLeaveOneOutOptions& options);

}  // namespace gaugeloom
