#pragma once
// Thiessen polygons: each place belongs to its nearest gauge.
// Source: A. H. Thiessen, Precipitation averages for large areas, Monthly Weather Review 39 (1911).

#include <cstddef>
#include <span>
#include <vector>

#include "gaugeloom/geo/polygon.hpp"

namespace gaugeloom {

struct ThiessenCell {
  std::size_t gauge = 0;  // index of the gauge
  double area_m2 = 0;     // of its cell within the area
  double weight = 0;      // share of the whole area; the weights add up to 1
  Polygon polygon;        // the cell within the area; empty where nothing of it lies there
};

// The cells of all gauges clipped to `area`, in the order of the gauges, those without any part of
// the area included (weight 0). Gauges at one spot share one cell in equal parts.
//
// Laws: (1) weights add up to 1; (2) the cells cover the area without overlapping; (3) each place
// in a cell is nearest to the gauge of that cell.
// Requires: at least one gauge, finite coordinates.
// Throws:   Error{inconsistent_input} when problem(area) has one.
// Cost:     n log n for the diagram, plus one clip per cell.
std::vector<ThiessenCell> thiessen_cells(std::span<const MetricPoint> gauges, const Polygon& area);

}  // namespace gaugeloom
