#pragma once
// The cells of a raster that another map is to share: its CRS, corner, cell size and shape.

#include <cstddef>
#include <string>

#include "gaugeloom/geo/grid.hpp"

namespace gaugeloom {

// The frame of a raster, its cells counted in metres on the plane of its own CRS. For a CRS in
// degrees that plane is x = longitude, y = latitude, each stretched to the metres it is worth at
// the middle latitude of the raster: distances are right there, and wrong by some 2 % for every
// degree of latitude away from it (at 50 degrees, less nearer the equator).
struct RasterFrame {
  std::string crs;  // as work_crs.hpp names one; "local" for a raster that names none
  Grid grid;        // metres on the plane
  CellFrame cells;  // the same corner and cell in the unit of the CRS, to the last bit
  // A metre on the plane in the unit of the CRS: 1 for metres, some 1e-5 for degrees.
  double units_per_metre_x = 1;
  double units_per_metre_y = 1;

  MetricPoint on_plane(double x, double y) const {
    return {x / units_per_metre_x, y / units_per_metre_y};
  }
};

// Reads no cell values.
//
// Throws: Error{io_failure} when the raster cannot be opened; Error{malformed_input} for one that
//         does not say where its cells lie, is rotated, or has its first row in the south;
//         Error{invalid_option} beyond the limits of a grid.
// Source of the metres in a degree: WGS 84 ellipsoid, radii of curvature of the meridian and of the
// prime vertical (NGA.STND.0036, 2014).
RasterFrame read_raster_frame(const std::string& raster);

}  // namespace gaugeloom
