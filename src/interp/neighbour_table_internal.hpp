#pragma once
// The nearest other points of every point, in order, and an order of the points along a
// space-filling curve, so that neighbours are worked on together. A point's place in that order is
// its row in the table.

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "gaugeloom/geo/gauge_index.hpp"
#include "gaugeloom/geo/position.hpp"

namespace gaugeloom {

struct NeighbourTable {
  std::size_t columns = 0;           // neighbours listed per point
  bool whole = false;                // whether those are all the other points
  std::vector<std::uint32_t> index;  // places x columns, nearest first, ties by the lower index
  std::vector<double> distance_m;    // the same shape

  std::span<const std::uint32_t> neighbours(std::size_t place) const {
    return std::span(index).subspan(place * columns, columns);
  }
  std::span<const double> distances(std::size_t place) const {
    return std::span(distance_m).subspan(place * columns, columns);
  }
};

// Lists up to `columns` neighbours of the points in `order`, which has each point once.
NeighbourTable neighbour_table(const GaugeIndex& index, std::span<const std::uint32_t> order,
                               std::size_t columns, int threads);

// The points along a Z-order curve over their bounding box, ties by index.
// Source: G. M. Morton, A computer oriented geodetic data base, IBM 1966.
std::vector<std::uint32_t> space_filling_order(std::span<const MetricPoint> points);

}  // namespace gaugeloom
