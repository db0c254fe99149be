#pragma once
// How the gauges speak for the mean over an area: weights, the error they leave, and what share of
// the area they support. It depends on places alone, so it serves every step.

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/interp/variogram.hpp"

namespace gaugeloom {

struct AreaWeightOptions {
  Variogram storm;            // sill 1: of the totals of storms
  Variogram step;             // sill 1: of the depths of steps
  std::size_t points = 200;   // of the grid that stands for an area, about; our choice
  std::size_t per_point = 8;  // gauges that speak for a point; our choice
  // As in a map (storms/rain_map.hpp).
  double lost_share = 0.85;
  double outside_spacings = 1.5;

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

struct AreaWeights {
  std::vector<std::size_t> gauges;  // rising: those among the per_point nearest of any point
  std::vector<double> weights;      // of block kriging, 0 or more, sum 1; empty under 3 gauges
  double storm_variance = 0;        // of the error of the mean, for a sill of 1
  double step_variance = 0;
  double storm_spread = 0;  // mean semivariance between two of the gauges: what a sill of 1 makes
  double step_spread = 0;   // of their variance (n - 1)
  double step_share = 0;    // error of the mean over that of a gauge told from the others, at steps
  double supported_share = 0;  // of the area's points

  bool empty() const { return weights.empty(); }
};

// The weights are those of block kriging with the variogram of storms, negative ones dropped. The
// same weights are used for steps, so that the steps of a storm add up to it; what they then leave
// as error is computed with the variogram of steps. A point is supported by the rule of a map:
// (variance - nugget) <= lost_share of the partial sill, no farther outside the hull of the gauges
// than outside_spacings median spacings.
//
//   gauges     positions in the working CRS
//   available  rows of the gauges that have a value; rising
//   points     of the area (geo/polygon.hpp, about_grid_points)
// Laws (each one is a test): weights are 0 or more and add up to 1; the gauges of a far away part
//   of the network do not matter; nothing is supported far outside.
// Throws: Error{invalid_option} if options.problem() has one.
// Cost:   points x per_point^3, and k^3 for k gauges that speak.
AreaWeights area_weights(std::span<const MetricPoint> gauges,
                         std::span<const std::size_t> available,
                         std::span<const MetricPoint> points, const AreaWeightOptions& options);

}  // namespace gaugeloom
