#pragma once
// Kriging and inverse-distance weights of one set of neighbours, in place and without allocation
// once warm: shared by neighbour_weights and the leave-one-out over records.

#include <cstddef>
#include <span>
#include <vector>

#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/interp/record_leave_one_out.hpp"
#include "gaugeloom/interp/variogram.hpp"

namespace gaugeloom {

// A Cholesky pivot at or below this share of the sill means a singular system. Our choice: far
// above rounding (1e-16), far below any pivot that still carries four digits.
inline constexpr double kSmallestPivotShare = 1e-12;

// One network and its rules, by reference.
struct WeightRules {
  std::span<const MetricPoint> points;
  const Variogram& variogram;
  const RecordLeaveOneOutOptions& options;

  double noise(std::size_t point) const {
    return options.relative_noise.empty() ? 0.0 : options.relative_noise[point] * variogram.sill();
  }
};

// Between two different points: the nugget is each point's own.
double pair_covariance(const Variogram& variogram, double h_m);

class PlainSolver {
 public:
  // weights.size() == neighbours.size(). Returns false for a singular system. `variance` is NaN for
  // inverse distance.
  bool solve(const WeightRules& rules, const MetricPoint& target,
             std::span<const std::size_t> neighbours, std::span<double> weights, double& variance);

  // Sets negative weights to 0, rescales the rest and computes the variance of what remains.
  void drop_negative(const WeightRules& rules, const MetricPoint& target,
                     std::span<const std::size_t> neighbours, std::span<double> weights,
                     double& variance);

 private:
  bool factorise(const WeightRules& rules, std::span<const std::size_t> neighbours);
  void substitute(std::span<double> rhs) const;

  std::size_t size_ = 0;
  std::vector<double> lower_;  // Cholesky factor, packed by rows
  std::vector<double> ones_;
  std::vector<double> to_target_;
};

// Inverse-distance weights from distances in rising order.
void inverse_distance_weights(std::span<const double> distances_m, double power,
                              std::span<double> weights);

}  // namespace gaugeloom
