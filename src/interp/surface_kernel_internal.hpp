#pragma once
// The hot loops of Surface, once per vector level. Lanes are cells or systems; no lane looks at
// another, so results do not depend on the level or on who shares a vector.

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "gaugeloom/core/vector_level.hpp"
#include "gaugeloom/interp/surface.hpp"

namespace gaugeloom {

// Of soft_edge_variance.
inline constexpr double kSoftEdgeFrom = 0.7;
inline constexpr double kSoftEdgeSill = 0.1;
inline constexpr double kSoftEdgeMost = 1e6;

// What the kernels need of the gauges; n values each.
struct SurfaceField {
  const double* x_m = nullptr;
  const double* y_m = nullptr;
  const double* value = nullptr;
  const double* noise = nullptr;  // measurement variance
  int neighbours = 0;             // of every set: min(options.neighbours, n)
  bool soft_edge = false;         // there are more gauges than neighbours
  SurfaceOptions options;
};

// A cell of a chunk: column in the low bits, row above them.
inline constexpr unsigned kChunkBits = 7;
inline constexpr std::size_t kChunkSide = std::size_t{1} << kChunkBits;

// Where the cells of a chunk lie, and where their results go: out pointers may be null.
struct SurfaceChunk {
  const double* column_x_m = nullptr;
  const double* row_y_m = nullptr;
  double* value = nullptr;
  double* variance = nullptr;
  double* nearest_m = nullptr;
  std::size_t stride = 0;  // of a row of results
};

// Cells that share their neighbours: `neighbours` gauges in rising order, and the cells.
struct SetCells {
  const std::uint32_t* gauges = nullptr;
  std::span<const std::uint32_t> cells;
};

struct SurfaceKernels {
  // For width x height cells (at most 16 x 16) the `chosen` nearest of `count` gauges (at most 64),
  // ties to the earlier one: bit j of masks[row * 16 + column] is set for gauge j.
  // column_x_m can be read up to 16 values.
  void (*choose_nearest)(const double* column_x_m, std::size_t width, const double* row_y_m,
                         std::size_t height, const double* x_m, const double* y_m,
                         std::size_t count, std::size_t chosen, std::uint64_t* masks);
  // Estimates every cell of every set.
  void (*krige)(const SurfaceField& field, std::span<const SetCells> sets,
                const SurfaceChunk& chunk, std::vector<double>& scratch);
  void (*weigh_by_distance)(const SurfaceField& field, std::span<const SetCells> sets,
                            const SurfaceChunk& chunk);
};

const SurfaceKernels& surface_kernels(VectorLevel level);

}  // namespace gaugeloom
