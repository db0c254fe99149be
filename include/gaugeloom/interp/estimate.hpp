#pragma once
// What an interpolation returns, and the choices every interpolation shares.

#include <cstdint>
#include <limits>

namespace gaugeloom {

enum class InterpolationMethod { inverse_distance, ordinary_kriging };

enum class NegativeWeights {
  keep,  // as the kriging system gives them
  drop,  // set to 0 and the rest rescaled to sum 1; the variance is computed for those weights
};

// Each outcome says what the other fields of the Estimate then hold.
enum class EstimateStatus : std::uint8_t {
  ok,               // value is finite; variance is finite for kriging and NaN for inverse distance
  no_gauges,        // nothing to estimate from; both are NaN
  singular_system,  // two gauges at one place and no nugget; both are NaN
};

struct Estimate {
  EstimateStatus status = EstimateStatus::no_gauges;
  double value = std::numeric_limits<double>::quiet_NaN();     // in the field's unit
  double variance = std::numeric_limits<double>::quiet_NaN();  // in its square
  int gauges_used = 0;
};

}  // namespace gaugeloom
