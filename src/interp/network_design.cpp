#include "gaugeloom/interp/network_design.hpp"

#include <algorithm>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "interp/kriging_system_internal.hpp"
#include "interp/neighbours_internal.hpp"

namespace gaugeloom {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr Index kBlock = 64;  // places whose errors are held against all others at once

Index index(std::size_t i) { return static_cast<Index>(i); }

// Structured covariances, a row per point of a and a column per point of b.
MatrixXd covariances_between(std::span<const MetricPoint> a, std::span<const MetricPoint> b,
                             const Variogram& variogram) {
  MatrixXd matrix(index(a.size()), index(b.size()));
  std::vector<double> distances(a.size());
  for (std::size_t j = 0; j < b.size(); ++j) {
    for (std::size_t i = 0; i < a.size(); ++i) distances[i] = distance_m(a[i], b[j]);
    structured_covariances(variogram, distances, {matrix.col(index(j)).data(), a.size()});
  }
  return matrix;
}

VectorXd row_means(const MatrixXd& matrix) {
  VectorXd sums = VectorXd::Zero(matrix.rows());
  for (Index j = 0; j < matrix.cols(); ++j) sums += matrix.col(j);
  return sums / static_cast<double>(matrix.cols());
}

double dot(const VectorXd& a, const VectorXd& b) {
  double sum = 0;
  for (Index i = 0; i < a.size(); ++i) sum += a[i] * b[i];
  return sum;
}

// Targets as kriging sees them, a column each.
struct Kriged {
  MatrixXd with_gauges;  // covariances between the gauges and the targets
  MatrixXd weights;
  VectorXd multiplier;  // of the weights' sum to 1
};

class Designer {
 public:
  Designer(std::span<const MetricPoint> gauges, std::span<const double> measurement_variance,
           std::span<const MetricPoint> places, const Variogram& variogram)
      : gauges_(gauges),
        places_(places),
        variogram_(variogram),
        system_(gauges, measurement_variance, all_indices(gauges.size()), variogram) {
    if (system_.status() != EstimateStatus::ok)
      throw Error(ErrorCode::invalid_option,
                  "two gauges stand at one place and the variogram has no nugget: their system has "
                  "no solution; give a nugget or accuracy_percent");
    failing_ = system_.bordered_inverse().diagonal();
    kriged_places_ = krige(covariances_between(gauges, places, variogram));
  }

  DesignTarget area(std::span<const MetricPoint> points, double new_variance,
                    std::span<const double> place_variance) const {
    const MatrixXd from_places = covariances_between(places_, points, variogram_);
    const Kriged kriged = krige(row_means(covariances_between(gauges_, points, variogram_)));
    double within = 0;  // point by point: the matrix would be large
    for (const MetricPoint& point : points)
      within += row_means(covariances_between({&point, 1}, points, variogram_))[0] /
                static_cast<double>(points.size());
    DesignTarget target;
    target.variance =
        within - dot(kriged.with_gauges.col(0), kriged.weights.col(0)) - kriged.multiplier[0];
    for (Index g = 0; g < failing_.size(); ++g)
      target.without.push_back(target.variance +
                               kriged.weights(g, 0) * kriged.weights(g, 0) / failing_[g]);
    const VectorXd mean_covariance = row_means(from_places);
    for (std::size_t p = 0; p < places_.size(); ++p) {
      const double shared = mean_covariance[index(p)] -
                            dot(kriged_places_.with_gauges.col(index(p)), kriged.weights.col(0)) -
                            kriged.multiplier[0];
      target.with.push_back(target.variance -
                            shared * shared / gain_divisor(place_variance[p], new_variance));
    }
    return target;
  }

  // Sets place_variance and region.
  void region(double new_variance, NetworkDesign& design) const {
    const Index places = index(places_.size());
    for (Index p = 0; p < places; ++p)
      design.place_variance.push_back(
          variogram_.partial_sill -
          dot(kriged_places_.with_gauges.col(p), kriged_places_.weights.col(p)) -
          kriged_places_.multiplier[p]);
    DesignTarget& region = design.region;
    for (const double variance : design.place_variance)
      region.variance += variance / static_cast<double>(places);
    for (Index g = 0; g < failing_.size(); ++g) {
      double squares = 0;
      for (Index p = 0; p < places; ++p)
        squares += kriged_places_.weights(g, p) * kriged_places_.weights(g, p);
      region.without.push_back(region.variance +
                               squares / (failing_[g] * static_cast<double>(places)));
    }
    for (Index first = 0; first < places; first += kBlock) {
      const Index count = std::min(kBlock, places - first);
      const MatrixXd shared = shared_errors(first, count);
      for (Index i = 0; i < count; ++i) {
        double squares = 0;
        for (Index p = 0; p < places; ++p) squares += shared(p, i) * shared(p, i);
        const double divisor =
            gain_divisor(design.place_variance[static_cast<std::size_t>(first + i)], new_variance);
        region.with.push_back(region.variance - squares / (divisor * static_cast<double>(places)));
      }
    }
  }

 private:
  Kriged krige(MatrixXd with_gauges) const {
    const KrigingColumns columns =
        system_.solve_columns(with_gauges, variogram_.partial_sill, NegativeWeights::keep);
    VectorXd multiplier(with_gauges.cols());
    for (Index j = 0; j < multiplier.size(); ++j)
      multiplier[j] = variogram_.partial_sill - columns.variance[j] -
                      dot(with_gauges.col(j), columns.weights.col(j));
    return {std::move(with_gauges), columns.weights, multiplier};
  }

  // The covariance of the errors of every place with those of `count` places from `first` on.
  MatrixXd shared_errors(Index first, Index count) const {
    const std::span<const MetricPoint> some =
        places_.subspan(static_cast<std::size_t>(first), static_cast<std::size_t>(count));
    MatrixXd shared = covariances_between(places_, some, variogram_);
    shared.noalias() -=
        kriged_places_.with_gauges.transpose() * kriged_places_.weights.middleCols(first, count);
    for (Index i = 0; i < count; ++i) shared.col(i).array() -= kriged_places_.multiplier[first + i];
    return shared;
  }

  // A gauge at a place measures it with its own nugget and noise.
  double gain_divisor(double place_variance, double new_variance) const {
    constexpr double kNothing = 1e-12;  // of the sill: the place is known, nothing is to be gained
    return std::max(place_variance + variogram_.nugget + new_variance,
                    kNothing * variogram_.sill());
  }

  std::span<const MetricPoint> gauges_, places_;
  const Variogram& variogram_;
  KrigingSystem system_;
  VectorXd failing_;  // diagonal of the bordered inverse: 1 / error variance if a gauge is left out
  Kriged kriged_places_;
};

}  // namespace

NetworkDesign network_design(std::span<const MetricPoint> gauges,
                             std::span<const double> measurement_variance,
                             std::span<const MetricPoint> places,
                             std::span<const std::vector<MetricPoint>> areas,
                             const Variogram& variogram, double new_gauge_variance) {
  GAUGELOOM_ASSERT(gauges.size() >= 3 && !places.empty() && new_gauge_variance >= 0);
  require_valid(variogram, {.max_neighbours = 0});
  require_few_enough_for_all(gauges.size());
  const Designer designer(gauges, measurement_variance, places, variogram);
  NetworkDesign design;
  designer.region(new_gauge_variance, design);
  for (const std::vector<MetricPoint>& area : areas)
    design.areas.push_back(designer.area(area, new_gauge_variance, design.place_variance));
  return design;
}

}  // namespace gaugeloom
