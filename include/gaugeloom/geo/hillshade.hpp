#pragma once
// Light and shadow of the ground from its heights, for pictures.
// Source: B. K. P. Horn, Hill shading and the reflectance map, Proceedings of the IEEE 69(1), 1981,
// 14-47, from memory: the slopes of a cell from the eight around it, weighted 1 2 1, and light that
// falls on an evenly scattering face (Lambert).

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/geo/grid.hpp"

namespace gaugeloom {

// Towards the light; any length above 0. The default stands in the north-west, 45 degrees high:
// where people expect it, lest valleys look like ridges.
struct LightDirection {
  double east = -0.5;
  double north = 0.5;
  double up = 0.70710678118654752;
};

struct HillshadeOptions {
  LightDirection light;
  double exaggeration = 1;  // heights are multiplied by it; above 0

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

// How bright each cell is: 1 faces the light, 0 turns away from it; NaN where its height is.
//
//   heights_m   one per cell of the grid, row by row; NaN where unknown
//
// A neighbour that is unknown or off the grid is put on the line from the one opposite through the
// cell; where that is unknown too, a corner on the plane of the two sides beside it, and a side at
// the height of the cell.
//
// Laws (each one is a test):
//   (1) flat ground is as bright as the light is steep: up / length;
//   (2) a plane is equally bright everywhere, at the edges too;
//   (3) the same for any number of threads.
// Requires:  heights_m.size() == grid.cell_count(). Throws: Error{invalid_option} if
//            options.problem() has one.
std::vector<float> hillshade(const Grid& grid, std::span<const float> heights_m,
                             const HillshadeOptions& options = {}, int threads = 0);

// The exaggeration at which one cell in twenty is steeper than `slope` (0.6 = 31 degrees, our
// choice: plain to see, little in full shadow); at most 50, so that a plain stays one. 1 where all
// is flat or unknown.
double telling_exaggeration(const Grid& grid, std::span<const float> heights_m, double slope = 0.6);

}  // namespace gaugeloom
