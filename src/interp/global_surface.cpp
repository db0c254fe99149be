#include "interp/global_surface_internal.hpp"

#include <algorithm>
#include <limits>
#include <numeric>

#include "interp/inverse_distance_internal.hpp"

namespace gaugeloom {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
// Cells solved together, always as many columns: then a cell does not depend on where its block
// begins, since no product has columns left over from its packets.
constexpr std::size_t kCells = 64;

}  // namespace

// Some cells of a block and what was found for them.
struct GlobalSurface::Cells {
  std::size_t count = 0;
  std::vector<double> distances_m;  // cell by cell, a distance per gauge
  std::vector<double> value, variance, nearest_m;

  Cells(std::size_t gauges)
      : distances_m(kCells * gauges), value(kCells), variance(kCells), nearest_m(kCells) {}
};

GlobalSurface::GlobalSurface(std::span<const MetricPoint> gauges, std::span<const double> values,
                             std::span<const double> measurement_variance,
                             const SurfaceOptions& options)
    : gauges_(gauges.begin(), gauges.end()),
      values_(values.begin(), values.end()),
      noise_(measurement_variance.begin(), measurement_variance.end()),
      options_(options) {
  noise_.resize(gauges_.size(), 0.0);
  if (options_.method != InterpolationMethod::ordinary_kriging) return;
  require_few_enough_for_all(gauges_.size());
  std::vector<std::size_t> all(gauges_.size());
  std::iota(all.begin(), all.end(), std::size_t{0});
  system_ = std::make_unique<KrigingSystem>(gauges_, noise_, std::move(all), options_.variogram);
  if (system_->status() == EstimateStatus::ok && options_.negative_weights == NegativeWeights::keep)
    dual_ = system_->dual(values_);
}

void GlobalSurface::compute(const Grid& grid, const GridBlock& block, const SurfaceOut& out) const {
  Cells cells(gauges_.size());
  for (std::size_t first = 0; first < block.cell_count(); first += kCells) {
    cells.count = std::min(kCells, block.cell_count() - first);
    for (std::size_t i = 0; i < cells.count; ++i) {
      const MetricPoint centre = grid.centre(block.first_column + (first + i) % block.columns,
                                             block.first_row + (first + i) / block.columns);
      double* const distances = cells.distances_m.data() + i * gauges_.size();
      for (std::size_t g = 0; g < gauges_.size(); ++g)
        distances[g] = distance_m(gauges_[g], centre);
      cells.nearest_m[i] = *std::min_element(distances, distances + gauges_.size());
    }
    if (system_)
      krige(cells, !out.variance.empty());
    else
      weigh_by_distance(cells);
    const auto put = [&](const std::vector<double>& from, std::span<double> to) {
      if (!to.empty())
        std::copy_n(from.begin(), cells.count, to.begin() + static_cast<long>(first));
    };
    put(cells.value, out.value);
    put(cells.variance, out.variance);
    put(cells.nearest_m, out.nearest_gauge_m);
  }
}

void GlobalSurface::krige(Cells& cells, bool with_variance) const {
  std::fill(cells.value.begin(), cells.value.end(), kNaN);
  std::fill(cells.variance.begin(), cells.variance.end(), kNaN);
  if (system_->status() != EstimateStatus::ok) return;
  const std::size_t n = gauges_.size();
  Eigen::MatrixXd c = Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(n), kCells);
  std::vector<const double*> on_one_gauge(cells.count, nullptr);
  for (std::size_t i = 0; i < cells.count; ++i) {
    const std::span<const double> distances(cells.distances_m.data() + i * n, n);
    double* const column = c.data() + i * n;
    structured_covariances(options_.variogram, distances, {column, n});
    if (cells.nearest_m[i] > 0 || std::count(distances.begin(), distances.end(), 0.0) > 1) continue;
    on_one_gauge[i] = &*std::find(distances.begin(), distances.end(), 0.0);
    column[on_one_gauge[i] - distances.data()] = options_.variogram.sill();
  }
  if (options_.negative_weights == NegativeWeights::keep)
    keep_weights(c, with_variance, cells);
  else
    drop_weights(c, cells);
  for (std::size_t i = 0; i < cells.count; ++i) {
    if (on_one_gauge[i] == nullptr) continue;
    const auto gauge =
        static_cast<std::size_t>(on_one_gauge[i] - (cells.distances_m.data() + i * n));
    if (noise_[gauge] > 0) continue;
    cells.value[i] = values_[gauge];  // exact, not but for rounding
    cells.variance[i] = 0;
  }
}

void GlobalSurface::keep_weights(const Eigen::MatrixXd& c, bool with_variance, Cells& cells) const {
  const Eigen::VectorXd variances = with_variance
                                        ? system_->kept_variances(c, options_.variogram.sill())
                                        : Eigen::VectorXd::Constant(c.cols(), kNaN);
  for (std::size_t i = 0; i < cells.count; ++i) {
    const auto at = static_cast<Eigen::Index>(i);
    cells.value[i] = std::inner_product(c.col(at).data(), c.col(at).data() + c.rows(),
                                        dual_.weights.data(), dual_.mean);
    cells.variance[i] = variances[at];
  }
}

void GlobalSurface::drop_weights(const Eigen::MatrixXd& c, Cells& cells) const {
  const KrigingColumns solved =
      system_->solve_columns(c, options_.variogram.sill(), NegativeWeights::drop);
  for (std::size_t i = 0; i < cells.count; ++i) {
    const auto at = static_cast<Eigen::Index>(i);
    cells.value[i] =
        std::inner_product(values_.begin(), values_.end(), solved.weights.col(at).data(), 0.0);
    cells.variance[i] = solved.variance[at];
  }
}

void GlobalSurface::weigh_by_distance(Cells& cells) const {
  std::fill(cells.variance.begin(), cells.variance.end(), kNaN);
  for (std::size_t i = 0; i < cells.count; ++i) {
    const std::span<const double> distances(cells.distances_m.data() + i * gauges_.size(),
                                            gauges_.size());
    const auto weights = inverse_distance_weights(distances, options_.power);
    cells.value[i] = 0;
    for (std::size_t g = 0; g < weights.size(); ++g) cells.value[i] += weights[g] * values_[g];
  }
}

}  // namespace gaugeloom
