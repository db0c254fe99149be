#pragma once
// Estimates of one gauge from its neighbours at every step, measured or not.

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "fill/neighbourhood_internal.hpp"
#include "gaugeloom/core/bulk_vector.hpp"
#include "gaugeloom/interp/variogram.hpp"

namespace gaugeloom::fill_internal {

// What fixes the weights, given the neighbours.
struct WeightRule {
  bool kriging = false;  // else inverse distance, power 2
  Variogram variogram;   // of the kriging system; sill 1
  Variogram reach;       // of the network over hours, sill 1: how far the neighbours can be trusted
  double max_lone_side_m = 60000;
};

enum class Support : std::uint8_t { enough, few_neighbours, one_sided, beyond_reach };

struct Weights {
  std::vector<std::size_t> rows;  // of the chosen gauges
  std::vector<double> weights;    // >= 0, sum 1
  double variance = 0;            // of the error under `reach`, the target's nugget included
  Support support = Support::few_neighbours;
};

// Negative kriging weights are dropped; a singular system gives inverse distance. The support is
// beyond reach where variance - nugget > 0.85 (sill - nugget).
Weights neighbour_weights(const Neighbourhood& around, std::uint64_t chosen,
                          const WeightRule& rule);

// The rain of all gauges with the site ratio taken out; gauges x steps, gauge-major. Values that no
// estimate may use can be NaN.
struct ScaledRain {
  std::size_t steps = 0;
  BulkVector<float> amount;  // depth / ratio, mm
  BulkVector<float> root;    // its square root
};
ScaledRain scaled_rain(const RainTable& depths, std::span<const double> ratios);

// One value per step. Where nothing can be estimated all are NaN; where the support is not enough
// but a neighbour is there, they are finite.
struct NeighbourEstimates {
  std::vector<float> amount;     // mm, before the site ratio of the target
  std::vector<float> root;       // the estimate of its square root
  std::vector<float> wet_share;  // weight of the wet neighbours, 0 to 1
  std::vector<float> variance;   // of the weights
  std::vector<Support> support;
};
NeighbourEstimates neighbour_estimates(const Neighbourhood& around, const ScaledRain& rain,
                                       const WeightRule& rule);

}  // namespace gaugeloom::fill_internal
