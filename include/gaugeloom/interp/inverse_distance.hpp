#pragma once
// Inverse distance weighting of one field: weights 1 / d^power of the nearest gauges, sum 1.
// Source: D. Shepard, Proc. 23rd ACM National Conference 1968, p. 517.

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/interp/estimate.hpp"

namespace gaugeloom {

struct InverseDistanceOptions {
  double power = 2;         // 0 to 100; 0 is the plain mean of the neighbours
  int max_neighbours = 16;  // the nearest gauges used per target, ties by lower index; 0 = all

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

// Estimates the field at each target. The variance of every Estimate is NaN.
//
//   gauges, targets  positions in one metric CRS
//   values           in the gauges' order; all finite
//   returns          one estimate per target, in their order
//
// Laws (each one is a test):
//   (1) a constant field stays constant;
//   (2) a target on a gauge gets its value; on several gauges, the mean of those among the
//       neighbours used;
//   (3) the estimate lies between the lowest and the highest value used;
//   (4) the scale of the coordinates does not matter.
//
// Requires:  values.size() == gauges.size(); leave missing gauges out beforehand.
// Throws:    Error{invalid_option} if options.problem() has one.
// Cost:      n distances per target.
std::vector<Estimate> inverse_distance(std::span<const MetricPoint> gauges,
                                       std::span<const double> values,
                                       std::span<const MetricPoint> targets,
                                       const InverseDistanceOptions& options = {});

}  // namespace gaugeloom
