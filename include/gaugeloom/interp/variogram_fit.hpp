#pragma once
// Fits a variogram model to the bins of an experimental variogram by weighted least squares.
// Method: for a given range (and smoothness) the best nugget and partial sill follow in closed
// form, non-negative; the range is searched on a logarithmic grid and refined by golden section.
// No start values, the same result always.
// Source of the weights: N. Cressie, Math. Geology 17 (1985), p. 563.

#include <optional>
#include <span>
#include <string>

#include "gaugeloom/interp/experimental_variogram.hpp"
#include "gaugeloom/interp/variogram.hpp"

namespace gaugeloom {

enum class FitWeights {
  pairs_over_distance_squared,  // N / h^2
  pairs_over_gamma_squared,     // N / gamma(h)^2 of the model, reweighted until it settles
};

struct VariogramFitOptions {
  VariogramShape shape = VariogramShape::exponential;
  FitWeights weights = FitWeights::pairs_over_distance_squared;
  std::optional<double> smoothness = std::nullopt;  // Matern only; not given = fitted, 0.2 to 5
  bool nugget = true;                               // false: the nugget is 0
  double min_range_m = 0;                           // 0 = a tenth of the shortest bin distance
  double max_range_m = 0;                           // 0 = three times the longest bin distance

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

enum class FitStatus {
  ok,            // variogram is the best one within the bounds
  at_bound,      // the same, but its range stands at min_range_m or max_range_m: doubtful
  too_few_bins,  // under 3 bins at distances > 0, or none with gamma > 0; variogram is the default
};

struct VariogramFit {
  FitStatus status = FitStatus::too_few_bins;
  Variogram variogram;
  double weighted_squares = 0;  // sum of weight * (gamma - model)^2
};

// Laws (each one is a test): bins drawn from a model give that model back; gamma times c gives
// nugget and partial sill times c; distances times c give the range times c.
// Throws: Error{invalid_option} if options.problem() has one.
VariogramFit fit_variogram(std::span<const VariogramBin> bins,
                           const VariogramFitOptions& options = {});

}  // namespace gaugeloom
