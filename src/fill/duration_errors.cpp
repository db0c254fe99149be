#include "gaugeloom/fill/duration_errors.hpp"

#include <algorithm>
#include <limits>

#include "fill/error_bins_internal.hpp"
#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

DepthError at_one(const DurationError& duration, double estimate_mm) {
  DepthError error;
  if (estimate_mm > 0)
    error = fill_internal::error_at(duration.bins, estimate_mm);
  else
    error = {0, duration.dry_high_mm, duration.dry_error_mm};
  return error;
}

DepthError within_order(DepthError error) {
  error.low_mm = std::max(0.0, error.low_mm);
  error.high_mm = std::max(error.low_mm, error.high_mm);
  return error;
}

}  // namespace

DepthError DurationErrors::at(double hours, double estimate_mm) const {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  if (durations.empty()) return {nan, nan, nan};
  const auto longer =
      std::find_if(durations.begin(), durations.end(),
                   [&](const DurationError& duration) { return duration.hours >= hours; });
  if (longer == durations.begin()) return within_order(at_one(durations.front(), estimate_mm));
  if (longer == durations.end()) return within_order(at_one(durations.back(), estimate_mm));
  const auto shorter = longer - 1;
  const double log_shorter = portable_log(shorter->hours);
  const double share =
      (portable_log(hours) - log_shorter) / (portable_log(longer->hours) - log_shorter);
  const DepthError a = at_one(*shorter, estimate_mm);
  const DepthError b = at_one(*longer, estimate_mm);
  const auto between = [share](double from, double to) { return from + share * (to - from); };
  return within_order({between(a.low_mm, b.low_mm), between(a.high_mm, b.high_mm),
                       between(a.standard_error_mm, b.standard_error_mm)});
}

}  // namespace gaugeloom
