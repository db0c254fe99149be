#pragma once
// A surface from all gauges: one factorisation serves every cell. The twin of the surface from
// nearest gauges (surface_sets_internal.hpp) for networks beyond its reach.

#include <Eigen/Dense>
#include <memory>
#include <span>
#include <vector>

#include "gaugeloom/interp/surface.hpp"
#include "interp/kriging_system_internal.hpp"

namespace gaugeloom {

class GlobalSurface {
 public:
  // As Surface; kriging needs at most kMostGlobalGauges gauges. Cost: n^3 / 3, for kriging.
  GlobalSurface(std::span<const MetricPoint> gauges, std::span<const double> values,
                std::span<const double> measurement_variance, const SurfaceOptions& options);

  // Cost: for a cell n^2 / 2 operations of kriging, n without its variance, 4 n^2 where negative
  // weights are dropped; n of inverse distance. Memory: n x 64 numbers, three times.
  void compute(const Grid& grid, const GridBlock& block, const SurfaceOut& out) const;

 private:
  struct Cells;
  void krige(Cells& cells, bool with_variance) const;
  // The values and variances of cells with covariances c.
  void keep_weights(const Eigen::MatrixXd& c, bool with_variance, Cells& cells) const;
  void drop_weights(const Eigen::MatrixXd& c, Cells& cells) const;
  void weigh_by_distance(Cells& cells) const;

  std::vector<MetricPoint> gauges_;
  std::vector<double> values_, noise_;
  SurfaceOptions options_;
  std::unique_ptr<KrigingSystem> system_;  // kriging only
  KrigingSystem::Dual dual_;               // where it keeps negative weights
};

}  // namespace gaugeloom
