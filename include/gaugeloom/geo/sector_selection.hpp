#pragma once
// Neighbours from all sides: the nearest gauges of each quadrant or octant around a target.
// Source: the quadrant rule of inverse-distance estimates (one gauge per quadrant, US National
// Weather Service practice; second hand); octants as in Isaaks and Srivastava, Applied
// Geostatistics, Oxford 1989, chapter 14 (from memory).

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/geo/gauge_index.hpp"

namespace gaugeloom {

enum class Sectors : int { quadrants = 4, octants = 8 };

// The sector of `point` seen from `centre`, counted from east towards north, 0 to 3 or 0 to 7. The
// first edge belongs to a sector, the second does not. A point on the centre is in sector 0.
int sector_of(const MetricPoint& centre, const MetricPoint& point, Sectors sectors);

struct SectorOptions {
  Sectors sectors = Sectors::quadrants;
  std::size_t per_sector = 1;     // at most so many from each sector; 1 or more
  std::size_t among_nearest = 0;  // looks only at so many nearest gauges; 0 = all
  double max_distance_m = 0;      // no farther than this; 0 = no limit

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

// The nearest gauges of each sector around `target`, sorted by distance, ties by lower index.
// `available` as in GaugeIndex::nearest_available; empty means that all are available.
//
// Laws: (1) no sector has more than per_sector; (2) a gauge left out has per_sector nearer ones in
// its sector, or lies beyond a limit; (3) with per_sector = size(), everything is returned.
// Throws: Error{invalid_option} if options.problem() has one.
// Cost:   as nearest(), repeated with twice the count until the sectors are full.
std::vector<Neighbour> nearest_per_sector(const GaugeIndex& index, const MetricPoint& target,
                                          const SectorOptions& options = {},
                                          std::span<const std::uint64_t> available = {});

// How many sectors hold at least one of `neighbours`.
int sectors_used(const GaugeIndex& index, const MetricPoint& target,
                 std::span<const Neighbour> neighbours, Sectors sectors);

}  // namespace gaugeloom
