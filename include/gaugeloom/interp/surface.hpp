#pragma once
// A field over a grid, from the nearest gauges of every cell centre: ordinary kriging with its
// variance, or inverse distance. The fast twin of ordinary_kriging and inverse_distance.
// Neighbour sets: cells that share their k nearest gauges share one factorisation; candidates
// shrink as a rectangle of cells is halved, so every cell still gets exactly its k nearest.

#include <cstddef>
#include <memory>
#include <optional>
#include <span>
#include <string>

#include "gaugeloom/core/vector_level.hpp"
#include "gaugeloom/geo/grid.hpp"
#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/interp/estimate.hpp"
#include "gaugeloom/interp/variogram.hpp"

namespace gaugeloom {

inline constexpr int kMaxSurfaceNeighbours = 64;

// How many neighbours to take where nobody says: 0 (all) of up to 128 gauges, else 12. Our choice,
// for the time it takes.
int usual_surface_neighbours(std::size_t gauges);

// Where there are more gauges than neighbours, the farthest neighbours of a cell leave softly: for
// kriging a gauge has this measurement variance beside its own. It is 0 up to 0.7 of the distance
// of the farthest neighbour, then 0.1 sill ((r - 0.7) / (1 - r))^2 with r the share of that
// distance, at most 1e6 sill: the farthest has no weight to speak of, so that nothing jumps where
// another gauge takes its place. The variance of the estimate is that of its weights without it.
// Source: J. Rivoirard and T. Romary, Math. Geosci. 43 (2011), p. 469 (from memory); the numbers
// are our choice.
double soft_edge_variance(double distance_m, double farthest_m, double sill);

struct SurfaceOptions {
  InterpolationMethod method = InterpolationMethod::ordinary_kriging;
  int neighbours = 16;  // nearest gauges per cell, ties by lower index; 1 to 64, or 0 for all
  Variogram variogram;  // kriging only
  NegativeWeights negative_weights = NegativeWeights::keep;  // kriging only
  double power = 2;                                          // inverse distance only, 0 to 100
  std::optional<VectorLevel> level;                          // for tests; otherwise vector_level()

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

// Where a block of results goes, row by row: columns * rows values each. An empty span is not
// wanted, and costs nothing.
struct SurfaceOut {
  std::span<double> value;            // NaN where the gauges' system is singular
  std::span<double> variance;         // NaN where singular, and everywhere for inverse distance
  std::span<double> nearest_gauge_m;  // distance from the cell centre to the nearest gauge
};

// Gauges and one value each, ready to be spread over any grid in the same CRS.
//
// Conventions (nugget, measurement variance, a cell centre on a gauge, singular systems, dropped
// weights) are those of ordinary_kriging.hpp and inverse_distance.hpp.
// Laws (each one is a test):
//   (1) a cell has the estimate and variance of ordinary_kriging (inverse_distance) at its centre,
//       to 1e-9 of the field's range and of the sill; kriging where some gauges are left out, with
//       the soft_edge_variance of the neighbours;
//   (2) a cell does not depend on the block it is computed in: no seams, the same bytes;
//   (3) the same bytes at every vector level;
//   (4) kriging has no edges where the neighbours of a cell change. Inverse distance has them.
// Safe to ask from several threads at once.
// Requires:  values.size() == gauges.size(), at least one, all finite; measurement_variance empty
//            or one per gauge, >= 0 (not used by inverse distance).
// Throws:    Error{invalid_option} if options.problem() has one, or for kriging from all of more
//            than kMostGlobalGauges gauges.
// Cost:      per cell k^2 operations where all of k <= 64 gauges are neighbours, k^3 / 6 where some
//            gauges are left out; from all of n > 64 gauges, n^3 / 3 operations once and n^2 / 2
//            for a cell, n without its variance, 4 n^2 where negative weights are dropped.
// Memory:    the gauges, and some 40 bytes for each cell of the largest block asked for; from all
//            of more than 64, also n^2 numbers twice and n x 200 for each block asked for.
class Surface {
 public:
  Surface(std::span<const MetricPoint> gauges, std::span<const double> values,
          std::span<const double> measurement_variance, const SurfaceOptions& options);
  ~Surface();
  Surface(Surface&&) noexcept;
  Surface& operator=(Surface&&) noexcept;

  // Computes the cells of `block`, a part of `grid`, on the calling thread.
  void compute(const Grid& grid, const GridBlock& block, const SurfaceOut& out) const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace gaugeloom
