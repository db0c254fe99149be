#pragma once
// A storm as it grew: the map of its rain up to each of several times.

#include <cstddef>
#include <memory>
#include <span>
#include <vector>

#include "gaugeloom/geo/grid.hpp"
#include "gaugeloom/interp/surface.hpp"
#include "gaugeloom/storms/rain_map.hpp"

namespace gaugeloom {

// Fields of the gauges of one map, spread with its weights, its support and its heights, so that
// frames can be subtracted from each other. A cell has no more than in a later frame.
// Laws (each one is a test): the totals of the map give its total band; cells never fall.
class RainFrames {
 public:
  // fields_mm: per frame one depth per gauge of the map, finite, >= 0, and no
  // less than in the frame before. The map outlives the frames.
  RainFrames(const RainMap& map, std::span<const std::vector<double>> fields_mm);

  // Frame f of a block stands at out[f * block.cell_count()], row by row; NaN is nodata. Safe from
  // several threads at once.
  void fill(const Grid& grid, const GridBlock& block, std::span<float> out) const;

 private:
  const RainMap& map_;
  std::vector<Surface> surfaces_;
};

}  // namespace gaugeloom
