#pragma once
// Elevation from any raster GDAL opens: at points as a covariate, over a grid for pictures.

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/geo/grid.hpp"
#include "gaugeloom/geo/position.hpp"

namespace gaugeloom {

// The value of band 1 in m at each point, bilinear between the four nearest cell centres; NaN where
// the point lies outside the raster or any of the four cells is nodata.
//
//   points        in `working_crs` ("local": the raster's own coordinates are used as they are)
//   returns       one value per point, in their order
//
// Throws: Error{io_failure} when the raster cannot be opened or read; Error{malformed_input} for a
//         raster without a band or a usable geotransform; Error{unsupported_crs} for one without a
//         CRS (unless local).
// Cost:   reads the part of the raster around the points by blocks; about 64 MB at a time.
std::vector<double> sample_elevation(const std::string& raster, const std::string& working_crs,
                                     std::span<const MetricPoint> points);

// Band 1 in m over cells in the unit of `crs` (metres, degrees), row by row, by cubic splines as
// wide as the larger of the two cells: smooth where the raster is coarser, averaged where it is
// finer (from its overviews, if it has any). NaN outside the raster and where it is nodata. Splines
// keep a plane and smooth everything else: for the eye, not for sums.
//
//   crs       "local": the raster's own coordinates are used as they are
//
// Throws: as sample_elevation.
std::vector<float> elevation_over(const std::string& raster, const std::string& crs,
                                  const CellFrame& cells, std::size_t columns, std::size_t rows);

}  // namespace gaugeloom
