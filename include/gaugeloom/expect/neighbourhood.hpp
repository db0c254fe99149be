#pragma once
// Which gauges each gauge is held against, and how much each of them counts.

#include <cstddef>
#include <vector>

#include "gaugeloom/rain/gauge.hpp"

namespace gaugeloom {

struct NearbyGauge {
  std::size_t gauge = 0;  // row in the network
  double distance_m = 0;
  double weight = 0;  // inverse-distance, softened; not yet normalised
};

struct NeighbourhoodOptions {
  std::size_t used = 8;         // live neighbours an estimate uses
  std::size_t candidates = 16;  // a missing or excluded one is replaced by the next of these
  double reach_m = 100000;      // farther gauges tell nothing; our choice: twice the range of daily
                                // rain in mid-latitudes
};

// Per gauge its candidates, nearest first; equal distances by id, so the order of the file does
// not matter.
// Weight 1 / (d^2 + m^2), m half the median distance of the `used` nearest: inverse-distance of
// power 2 that no single very near gauge can rule alone.
//
// isolation: the gauge's mean distance to its `used` nearest over the median of those that have
// any; 0 without.
// closeness: how much evidence its neighbours can give: 1 / isolation, within 0.3 and 1. Rain
// decorrelates with distance, and laws learned over the network are those of its typical gauge; our
// choice.
struct Neighbourhoods {
  std::vector<std::vector<NearbyGauge>> of;
  std::vector<double> isolation;
  std::vector<double> closeness;
  NeighbourhoodOptions options;
};

// Cost: gauges squared (a distance each), then a partial sort.
Neighbourhoods neighbourhoods(const Network& network, const NeighbourhoodOptions& options = {});

// Fewer live neighbours than this: not testable.
inline constexpr std::size_t kLeastNeighbours = 3;

}  // namespace gaugeloom
