#pragma once
// The rain of a storm as a picture that a web map lays beneath the gauges: classes of colour, clear
// where nothing is known.

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/geo/grid.hpp"
#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/io/rain_ramp.hpp"

namespace gaugeloom {

struct StormPicture {
  std::size_t storm = 0;  // row in the list of storms
  std::string png;
  // Its outer edges: degrees on the Earth, else metres.
  double south = 0, west = 0, north = 0, east = 0;
  std::vector<double> bounds_mm;  // of its classes (storms/rain_classes.hpp)
};

// Of class i of `classes`, as in io/quick_look_writer.hpp.
Rgb class_colour(std::size_t i, std::size_t classes);

// Where the cells of maps lie that are made into pictures.
struct PictureGround {
  Grid grid;
  std::string crs;  // of the grid; "local" without a place on Earth
  // A metre of the grid in the unit of the CRS.
  double units_per_metre_x = 1;
  double units_per_metre_y = 1;
};

// Which place each pixel of the pictures of one network shows; found once for all of its storms. On
// the Earth the rows are even in the web's Mercator projection, as web maps stretch pictures;
// otherwise even in metres.
// Source: EPSG:3857 (IOGP Guidance Note 7-2, Popular Visualisation Pseudo-Mercator).
class PictureFrame {
 public:
  // Pictures of `longer_side` pixels and at most as many on the other side.
  // Throws: as CrsTransform.
  explicit PictureFrame(const PictureGround& ground, std::size_t longer_side = 360);

  std::size_t width() const { return width_; }
  std::size_t height() const { return height_; }

  // Totals between the centres of cells are linear in both directions; beside a cell without one,
  // each pixel has that of its cell.
  //   totals_mm  one per cell of the grid, row by row, >= 0; NaN = not known
  StormPicture picture(std::size_t storm, std::span<const float> totals_mm) const;

 private:
  float value(std::span<const float> totals_mm, const MetricPoint& cell) const;

  std::size_t columns_, rows_;  // of the grid
  std::size_t width_ = 0, height_ = 0;
  double south_ = 0, west_ = 0, north_ = 0, east_ = 0;
  std::vector<MetricPoint> cells_;  // of each pixel: column and row of the grid, 0 = a centre
};

}  // namespace gaugeloom
