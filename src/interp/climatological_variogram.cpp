#include "gaugeloom/interp/climatological_variogram.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/core/portable_math.hpp"
#include "gaugeloom/interp/variogram_fit.hpp"
#include "interp/pair_bins_internal.hpp"
#include "interp/pair_pool_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kLeastPoints = 8;
constexpr std::size_t kLeastFields = 20;
constexpr std::size_t kLeastDifferences = 2000;
constexpr std::size_t kMostFields = 160;
constexpr std::size_t kMostBins = 15;
constexpr std::size_t kMostCounted = 20'000'000;  // values looked at to find the wet steps
constexpr double kGreatestCutoffM = 200'000;

// Evenly spread picks: item number `pick` of `picks` among `count` items.
std::size_t even_pick(std::size_t pick, std::size_t picks, std::size_t count) {
  return pick * count / picks;
}

// The steps at which a tenth or more of the points (or of an even choice of them) are wet.
std::vector<std::size_t> wet_steps(const FieldRecord& depths) {
  const std::size_t rows =
      std::min(depths.points, std::max(std::size_t{64}, kMostCounted / depths.steps));
  std::vector<int> present(depths.steps), wet(depths.steps);
  for (std::size_t pick = 0; pick < rows; ++pick) {
    const auto row = depths.row(even_pick(pick, rows, depths.points));
    for (std::size_t step = 0; step < row.size(); ++step) {
      present[step] += row[step] >= 0 ? 1 : 0;
      wet[step] += row[step] > 0 ? 1 : 0;
    }
  }
  std::vector<std::size_t> steps;
  for (std::size_t step = 0; step < depths.steps; ++step)
    if (present[step] >= static_cast<int>(kLeastPoints) && wet[step] * 10 >= present[step])
      steps.push_back(step);
  return steps;
}

std::vector<std::size_t> spread_evenly(const std::vector<std::size_t>& steps, std::size_t most) {
  if (steps.size() <= most) return steps;
  std::vector<std::size_t> chosen;
  for (std::size_t pick = 0; pick < most; ++pick)
    chosen.push_back(steps[even_pick(pick, most, steps.size())]);
  return chosen;
}

// Square roots of the depths, field after field.
std::vector<float> root_fields(const FieldRecord& depths, const std::vector<std::size_t>& steps) {
  std::vector<float> roots(steps.size() * depths.points);
  for (std::size_t point = 0; point < depths.points; ++point) {
    const auto row = depths.row(point);
    for (std::size_t i = 0; i < steps.size(); ++i)
      roots[i * depths.points + point] = std::sqrt(row[steps[i]]);  // NaN stays NaN
  }
  return roots;
}

// The sample variance of the present values; 0 if there are too few.
double spread_of(std::span<const float> field) {
  double sum = 0;
  std::size_t count = 0;
  for (const float y : field) {
    if (y != y) continue;
    sum += static_cast<double>(y);
    ++count;
  }
  if (count < kLeastPoints) return 0;
  const double mean = sum / static_cast<double>(count);
  double squares = 0;
  for (const float y : field)
    if (y == y) squares += (static_cast<double>(y) - mean) * (static_cast<double>(y) - mean);
  return squares / static_cast<double>(count - 1);
}

// What the fields contribute to each bin: sums of |difference / spread|^(1/2).
struct FieldSums {
  std::vector<double> roots;
  std::vector<std::size_t> pairs;
  bool used = false;
};

FieldSums sum_field(std::span<const float> field, const PairPool& pool, std::size_t bins) {
  FieldSums sums{std::vector<double>(bins), std::vector<std::size_t>(bins)};
  const double variance = spread_of(field);
  if (!(variance > 0)) return sums;
  sums.used = true;
  const double scale = 1 / std::sqrt(variance);
  for (std::size_t bin = 0; bin < bins; ++bin) {
    const std::size_t end = equal_share_begin(pool.size(), bins, bin + 1);
    for (std::size_t p = equal_share_begin(pool.size(), bins, bin); p < end; ++p) {
      const float a = field[pool[p].first], b = field[pool[p].second];
      if (!(a + b > 0)) continue;  // both dry, or one missing
      sums.roots[bin] += std::sqrt(static_cast<double>(std::abs(a - b)) * scale);
      ++sums.pairs[bin];
    }
  }
  return sums;
}

struct PooledBins {
  std::vector<VariogramBin> bins;
  std::size_t fields = 0;
  std::size_t pairs = 0;
};

PooledBins pool_fields(const FieldRecord& depths, const PairPool& pool,
                       const std::vector<std::size_t>& steps, int threads) {
  const std::size_t bins = std::clamp(pool.size() / 3, std::size_t{1}, kMostBins);
  const auto roots = root_fields(depths, steps);
  std::vector<FieldSums> by_field(steps.size());
  parallel_for(steps.size(), threads, [&](std::size_t i) {
    const std::span<const float> field(roots.data() + i * depths.points, depths.points);
    by_field[i] = sum_field(field, pool, bins);
  });
  PooledBins pooled;
  for (const FieldSums& field : by_field) pooled.fields += field.used ? 1 : 0;
  for (std::size_t bin = 0; bin < bins; ++bin) {
    double root = 0, distance = 0;
    std::size_t pairs = 0;
    for (const FieldSums& field : by_field) {
      root += field.roots[bin];
      pairs += field.pairs[bin];
    }
    if (pairs == 0) continue;
    const std::size_t begin = equal_share_begin(pool.size(), bins, bin);
    const std::size_t end = equal_share_begin(pool.size(), bins, bin + 1);
    for (std::size_t p = begin; p < end; ++p) distance += pool[p].distance_m;
    pooled.bins.push_back({pairs, distance / static_cast<double>(end - begin),
                           robust_semivariance(root / static_cast<double>(pairs), pairs)});
    pooled.pairs += pairs;
  }
  return pooled;
}

VariogramFit fit_shape(const PooledBins& pooled, VariogramShape shape, double cutoff_m) {
  VariogramFitOptions options;
  options.shape = shape;
  options.weights = FitWeights::pairs_over_gamma_squared;
  options.max_range_m = cutoff_m;
  return fit_variogram(pooled.bins, options);
}

VariogramFit fit_best(const PooledBins& pooled, std::optional<VariogramShape> shape,
                      double cutoff_m) {
  if (shape) return fit_shape(pooled, *shape, cutoff_m);
  const auto exponential = fit_shape(pooled, VariogramShape::exponential, cutoff_m);
  const auto spherical = fit_shape(pooled, VariogramShape::spherical, cutoff_m);
  return spherical.weighted_squares < exponential.weighted_squares ? spherical : exponential;
}

void scale_to_sill_one(ClimatologicalVariogram& result) {
  const double sill = result.variogram.sill();
  result.variogram.nugget /= sill;
  result.variogram.partial_sill = 1 - result.variogram.nugget;
  for (VariogramBin& bin : result.bins) bin.gamma /= sill;
}

}  // namespace

Variogram default_climatological_variogram(double duration_hours) {
  struct Knot {
    double hours, range_m;
  };
  constexpr Knot kKnots[] = {{0.25, 15000}, {1, 25000}, {6, 35000}, {24, 45000}};
  if (!(duration_hours > 0))
    throw Error(ErrorCode::invalid_option,
                fmt::format("duration is {} hours; give one above 0", duration_hours));
  Variogram variogram{.nugget = 0.1, .partial_sill = 0.9, .range_m = kKnots[3].range_m};
  for (std::size_t i = 3; i-- > 0;) {
    const Knot &left = kKnots[i], &right = kKnots[i + 1];
    if (duration_hours >= right.hours) break;
    const double share = std::max(portable_log(duration_hours / left.hours), 0.0) /
                         portable_log(right.hours / left.hours);
    variogram.range_m = left.range_m + share * (right.range_m - left.range_m);
  }
  return variogram;
}

ClimatologicalVariogram climatological_variogram(std::span<const MetricPoint> points,
                                                 const FieldRecord& depths, double duration_hours,
                                                 std::optional<VariogramShape> shape, int threads) {
  GAUGELOOM_ASSERT(points.size() == depths.points);
  ClimatologicalVariogram result;
  result.variogram = default_climatological_variogram(duration_hours);
  if (shape) result.variogram.shape = *shape;
  if (points.size() < kLeastPoints || depths.steps == 0) return result;
  const double cutoff_m = std::min(box_diagonal(points) / 2, kGreatestCutoffM);
  const PairPool pool = choose_pairs(points, cutoff_m);
  if (pool.size() < kLeastPoints) return result;
  const auto steps = spread_evenly(wet_steps(depths), kMostFields);
  const PooledBins pooled = pool_fields(depths, pool, steps, threads);
  result.fields_used = pooled.fields;
  result.pairs_used = pooled.pairs;
  if (pooled.fields < kLeastFields || pooled.pairs < kLeastDifferences) return result;
  const VariogramFit fit = fit_best(pooled, shape, cutoff_m);
  if (fit.status == FitStatus::too_few_bins) return result;
  result.variogram = fit.variogram;
  result.bins = pooled.bins;
  result.learned = true;
  scale_to_sill_one(result);
  return result;
}

}  // namespace gaugeloom
