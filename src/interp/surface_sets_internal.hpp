#pragma once
// Which cells share which nearest gauges. A rectangle of cells keeps as candidates only gauges that
// may be among the k nearest of one of its cells; halving it leaves fewer of them. The bounds are
// exact in floating point: differences, squares and sums round monotonously, so the distance of a
// cell lies between those of the nearest and the farthest point of its rectangle.

#include <functional>
#include <span>

#include "gaugeloom/geo/grid.hpp"
#include "interp/surface_kernel_internal.hpp"

namespace gaugeloom {

// A chunk of at most kChunkSide x kChunkSide cells: every cell is in exactly one set.
struct ChunkSets {
  GridBlock chunk;
  const double* column_x_m = nullptr;
  const double* row_y_m = nullptr;
  std::span<const SetCells> sets;
};

// Calls visit for chunks that together make up `block`.
void for_each_chunk(const SurfaceField& field, std::size_t gauges, const SurfaceKernels& kernels,
                    const Grid& grid, const GridBlock& block,
                    const std::function<void(const ChunkSets&)>& visit);

}  // namespace gaugeloom
