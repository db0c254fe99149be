#pragma once
// The kriging system of one set of gauges, factorised once and solved for any target.

#include <Eigen/Dense>
#include <optional>
#include <span>
#include <vector>

#include "gaugeloom/interp/ordinary_kriging.hpp"

namespace gaugeloom {

// The weights and the variance of many targets, a column each.
struct KrigingColumns {
  Eigen::MatrixXd weights;
  Eigen::VectorXd variance;
};

class KrigingSystem {
 public:
  // `set` holds rising indices into `gauges`; the variances are empty or one per gauge.
  KrigingSystem(std::span<const MetricPoint> gauges, std::span<const double> measurement_variance,
                std::vector<std::size_t> set, const Variogram& variogram);

  const std::vector<std::size_t>& set() const { return set_; }
  EstimateStatus status() const { return status_; }

  // The weights for covariances c between the set and a target whose own variance is c0.
  KrigingWeights solve(const Eigen::VectorXd& c, double c0, NegativeWeights negative) const;

  // The same for many targets, a column of c each. Requires status() == ok.
  KrigingColumns solve_columns(const Eigen::MatrixXd& c, double c0, NegativeWeights negative) const;

  // For kept weights: the estimate at a target is mean + weights'c, and its variance needs no
  // weights. Require status() == ok.
  struct Dual {
    Eigen::VectorXd weights;
    double mean = 0;
  };
  Dual dual(std::span<const double> values) const;
  Eigen::VectorXd kept_variances(const Eigen::MatrixXd& c, double c0) const;

  // The inverse of the bordered matrix, without its border. Requires status() == ok.
  Eigen::MatrixXd bordered_inverse() const;

 private:
  // Negative weights to 0, the rest to sum 1, with the variance of what remains.
  void drop_columns(const Eigen::MatrixXd& c, double c0, KrigingColumns& columns) const;

  std::vector<std::size_t> set_;
  Eigen::MatrixXd matrix_;  // C with nugget and measurement variances on the diagonal
  std::optional<Eigen::LLT<Eigen::MatrixXd>> factor_;  // not set for an empty set
  Eigen::VectorXd ones_solved_;                        // C^-1 1
  double ones_sum_ = 0;                                // 1' C^-1 1
  EstimateStatus status_ = EstimateStatus::no_gauges;
};

// Throws Error{invalid_option} for more than kMostGlobalGauges.
void require_few_enough_for_all(std::size_t gauges);

// Throws Error{invalid_option} for the first problem of the options or the variogram.
void require_valid(const Variogram& variogram, const KrigingOptions& options);

// The sum of weight * value, with the status and the variance of the weights.
Estimate apply_weights(const KrigingWeights& weights, std::span<const double> values);

}  // namespace gaugeloom
