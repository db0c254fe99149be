#pragma once
// Where a network cannot see: the error of a typical storm's total at every place, how much the
// error of the region and of each area rises if a gauge fails, and where one more gauge would help
// most.

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/geo/grid.hpp"
#include "gaugeloom/geo/polygon.hpp"
#include "gaugeloom/interp/field_record.hpp"
#include "gaugeloom/interp/network_design.hpp"

namespace gaugeloom {

// The mean storm of a record.
struct TypicalStorm {
  std::size_t storms = 0;
  double mean_mm = 0;    // mean over the storms of the mean over the gauges
  double spread_mm = 0;  // root of the mean variance between gauges
  Variogram variogram;   // mm2
  bool learned = false;  // its shape, from these storms; else the usual one
};

// Learned from the totals of storms: mm, a field per storm, NaN where a gauge has none.
// Throws: Error{inconsistent_input} where no storm has rain at two gauges.
TypicalStorm typical_storm(std::span<const MetricPoint> gauges, const FieldRecord& totals,
                           int threads = 0);

struct BlindSpotOptions {
  std::optional<double> cell_m;       // side of a cell; else about kUsualPlaces cells
  double new_gauge_variance_mm2 = 0;  // of the total of one more gauge
};

inline constexpr std::size_t kUsualPlaces = 2000;
inline constexpr std::size_t kMostPlaces = 10'000;

// The region is what lies in the hull of the gauges or in an area: beyond, one more gauge would
// only widen the network.
struct BlindSpots {
  Grid grid;
  std::vector<std::size_t> cells;  // of the grid, row by row, that lie in the region: the places
  NetworkDesign design;            // of them; mm2

  MetricPoint place(std::size_t i) const {
    return grid.centre(cells[i] % grid.columns, cells[i] / grid.columns);
  }
};

// Errors of kriging a storm's total from all gauges (network_design.hpp); those of places hold the
// nugget, as the map's do.
//
//   gauges    positions, 3 or more
//   variance  of each gauge's total, mm2
//   areas     catchments; may be none
//
// Throws: as network_design; Error{invalid_option} for cells so small that there are more than
//         kMostPlaces.
BlindSpots find_blind_spots(std::span<const MetricPoint> gauges, std::span<const double> variance,
                            std::span<const Area> areas, const Variogram& variogram,
                            const BlindSpotOptions& options);

// The error in mm of a point for an error variance of places: with the nugget, as in a map.
double point_error_mm(double variance_mm2, const Variogram& variogram);

// The place whose gauge makes the error smallest, the first of equals. Requires: one or more.
std::size_t best_place(const DesignTarget& target);

}  // namespace gaugeloom
