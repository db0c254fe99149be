#include "gaugeloom/interp/variogram_fit.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <vector>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr int kGridSteps = 40;     // of the logarithmic grid of ranges
constexpr int kGoldenSteps = 32;   // narrow two grid cells to about 1e-7 of the range
constexpr int kReweightings = 12;  // at most, for weights that follow the model
constexpr double kSettled = 1e-6;  // relative change of the range at which reweighting ends
constexpr double kBound = 1e-6;    // relative distance from a bound that counts as on it

struct WeightedBins {
  std::vector<double> distance_m, gamma, weight;
};

struct Candidate {
  Variogram variogram;
  double squares = 0;
};

// The best non-negative nugget and partial sill for the correlation of `shape`, whose own nugget
// and sill are ignored.
Candidate fit_sills(const WeightedBins& bins, Variogram shape, bool with_nugget) {
  const std::size_t n = bins.gamma.size();
  shape.nugget = 0;
  shape.partial_sill = 1;
  std::vector<double> rise(n);
  structured_covariances(shape, bins.distance_m, rise);
  double w = 0, wr = 0, wrr = 0, wg = 0, wrg = 0;
  for (std::size_t i = 0; i < n; ++i) {
    rise[i] = 1 - rise[i];
    const double weighted_rise = bins.weight[i] * rise[i];
    w += bins.weight[i];
    wr += weighted_rise;
    wrr += weighted_rise * rise[i];
    wg += bins.weight[i] * bins.gamma[i];
    wrg += weighted_rise * bins.gamma[i];
  }
  const double determinant = w * wrr - wr * wr;
  double sill = wrr > 0 ? wrg / wrr : 0;
  double nugget = 0;
  if (with_nugget && determinant > 1e-14 * w * wrr) {
    nugget = (wrr * wg - wr * wrg) / determinant;
    sill = (w * wrg - wr * wg) / determinant;
    if (nugget < 0) sill = wrg / wrr;
    if (sill < 0) nugget = wg / w;
    nugget = std::max(nugget, 0.0);
  }
  shape.nugget = nugget;
  shape.partial_sill = std::max(sill, 0.0);
  Candidate candidate{shape, 0};
  for (std::size_t i = 0; i < n; ++i) {
    const double error = bins.gamma[i] - shape.nugget - shape.partial_sill * rise[i];
    candidate.squares += bins.weight[i] * error * error;
  }
  return candidate;
}

// Golden section: the best of at(exp(x)) for x in [a, b], or `best` if nothing beats it.
Candidate golden_section(double a, double b, int steps, Candidate best,
                         const std::function<Candidate(double)>& at) {
  constexpr double kGolden = 0.6180339887498949;
  double x_left = b - kGolden * (b - a), x_right = a + kGolden * (b - a);
  Candidate left = at(portable_exp(x_left)), right = at(portable_exp(x_right));
  for (int i = 0; i < steps; ++i) {
    const Candidate& better = left.squares <= right.squares ? left : right;
    if (better.squares < best.squares) best = better;
    if (left.squares <= right.squares) {
      b = x_right;
      x_right = x_left;
      right = left;
      x_left = b - kGolden * (b - a);
      left = at(portable_exp(x_left));
    } else {
      a = x_left;
      x_left = x_right;
      left = right;
      x_right = a + kGolden * (b - a);
      right = at(portable_exp(x_right));
    }
  }
  return best;
}

// Minimises at(parameter) over [low, high]: a logarithmic grid, then golden section around the
// best.
Candidate search_log(double low, double high, int grid_steps, int golden_steps,
                     const std::function<Candidate(double)>& at) {
  const double from = portable_log(low);
  const double step = (portable_log(high) - from) / grid_steps;
  Candidate best = at(low);
  int best_step = 0;
  for (int i = 1; i <= grid_steps; ++i) {
    const Candidate found = at(i == grid_steps ? high : portable_exp(from + i * step));
    if (!(found.squares < best.squares)) continue;
    best = found;
    best_step = i;
  }
  return golden_section(from + std::max(best_step - 1, 0) * step,
                        from + std::min(best_step + 1, grid_steps) * step, golden_steps, best, at);
}

struct RangeBounds {
  double low = 0, high = 0;
};

RangeBounds range_bounds(const WeightedBins& bins, const VariogramFitOptions& options) {
  const auto [shortest, longest] =
      std::minmax_element(bins.distance_m.begin(), bins.distance_m.end());
  RangeBounds bounds{options.min_range_m > 0 ? options.min_range_m : *shortest / 10,
                     options.max_range_m > 0 ? options.max_range_m : *longest * 3};
  bounds.high = std::max(bounds.high, bounds.low * (1 + 1e-9));
  return bounds;
}

Candidate fit_once(const WeightedBins& bins, const VariogramFitOptions& options,
                   const RangeBounds& bounds) {
  Variogram shape;
  shape.shape = options.shape;
  const auto with_smoothness = [&](double smoothness) {
    shape.smoothness = smoothness;
    return search_log(bounds.low, bounds.high, kGridSteps, kGoldenSteps, [&](double range_m) {
      Variogram trial = shape;
      trial.range_m = range_m;
      return fit_sills(bins, trial, options.nugget);
    });
  };
  if (options.shape != VariogramShape::matern) return with_smoothness(shape.smoothness);
  if (options.smoothness) return with_smoothness(*options.smoothness);
  return search_log(0.2, 5, 8, 14, with_smoothness);
}

WeightedBins usable_bins(std::span<const VariogramBin> bins) {
  WeightedBins usable;
  for (const VariogramBin& bin : bins) {
    if (bin.pairs == 0 || !(bin.distance_m > 0) || !(bin.gamma >= 0)) continue;
    usable.distance_m.push_back(bin.distance_m);
    usable.gamma.push_back(bin.gamma);
    usable.weight.push_back(static_cast<double>(bin.pairs) / (bin.distance_m * bin.distance_m));
  }
  return usable;
}

// N / gamma^2 of the model, reweighted from N / h^2 on. A model value far below the highest bin is
// raised to a thousandth of it, so that no single bin takes all the weight.
Candidate fit_reweighted(WeightedBins bins, const VariogramFitOptions& options,
                         const RangeBounds& bounds) {
  std::vector<double> pairs;
  for (std::size_t i = 0; i < bins.weight.size(); ++i)
    pairs.push_back(bins.weight[i] * bins.distance_m[i] * bins.distance_m[i]);
  const double floor = *std::max_element(bins.gamma.begin(), bins.gamma.end()) * 1e-3;
  Candidate found = fit_once(bins, options, bounds);
  for (int round = 0; round < kReweightings; ++round) {
    const Variogram before = found.variogram;
    for (std::size_t i = 0; i < bins.weight.size(); ++i) {
      const double model = std::max(before.gamma(bins.distance_m[i]), floor);
      bins.weight[i] = pairs[i] / (model * model);
    }
    found = fit_once(bins, options, bounds);
    const double change = found.variogram.range_m / before.range_m - 1;
    if (change < kSettled && change > -kSettled) break;
  }
  return found;
}

}  // namespace

std::optional<std::string> VariogramFitOptions::problem() const {
  if (smoothness && !(*smoothness >= 0.1 && *smoothness <= 10))
    return fmt::format("smoothness is {}; give a number from 0.1 to 10", *smoothness);
  if (!(min_range_m >= 0 && min_range_m < 1e100 && max_range_m >= 0 && max_range_m < 1e100))
    return fmt::format("the bounds of the range are {} and {} m; give lengths from 0 on",
                       min_range_m, max_range_m);
  if (min_range_m > 0 && max_range_m > 0 && min_range_m >= max_range_m)
    return fmt::format("the least range, {} m, is not below the greatest, {} m", min_range_m,
                       max_range_m);
  return std::nullopt;
}

VariogramFit fit_variogram(std::span<const VariogramBin> bins, const VariogramFitOptions& options) {
  if (const auto found = options.problem())
    throw Error(ErrorCode::invalid_option, "variogram fit: " + *found);
  VariogramFit fit;
  const WeightedBins usable = usable_bins(bins);
  const auto positive = [](double gamma) { return gamma > 0; };
  if (usable.gamma.size() < 3 || std::none_of(usable.gamma.begin(), usable.gamma.end(), positive))
    return fit;
  const RangeBounds bounds = range_bounds(usable, options);
  const Candidate found = options.weights == FitWeights::pairs_over_distance_squared
                              ? fit_once(usable, options, bounds)
                              : fit_reweighted(usable, options, bounds);
  fit.variogram = found.variogram;
  fit.weighted_squares = found.squares;
  const bool at_bound = found.variogram.range_m <= bounds.low * (1 + kBound) ||
                        found.variogram.range_m >= bounds.high * (1 - kBound);
  fit.status = at_bound ? FitStatus::at_bound : FitStatus::ok;
  return fit;
}

}  // namespace gaugeloom
