#pragma once
// How wrong an estimated depth is, by the time it covers: learned from the network itself, at each
// duration separately. Step variances are never added up, since the errors of neighbouring steps
// go together; the error of a day is learned from days.

#include <cstddef>
#include <vector>

namespace gaugeloom {

// What was seen for estimates of about one size: the measured depth over the estimate.
struct ErrorBin {
  double estimate_mm = 0;  // mean estimate of the bin, > 0
  double low_ratio = 0;    // 5 % quantile of measured / estimate
  double high_ratio = 0;   // 95 % quantile
  double error_ratio = 0;  // root mean square of (measured - estimate) / estimate
  std::size_t pairs = 0;   // how many pairs it was learned from
};

// Errors at one duration; bins in rising order of estimate.
struct DurationError {
  double hours = 0;
  std::vector<ErrorBin> bins;
  double dry_high_mm = 0;   // 95 % quantile of the measured depth where the estimate is 0
  double dry_error_mm = 0;  // its root mean square
};

struct DepthError {
  double low_mm = 0;
  double high_mm = 0;
  double standard_error_mm = 0;
};

// In rising order of hours; empty when the record taught nothing.
struct DurationErrors {
  std::vector<DurationError> durations;

  // Bounds and error of an estimate of `estimate_mm` that covers `hours` in all (they need not be
  // in one piece). Between two learned durations and two bins the ratios go linearly with the
  // logarithm; beyond the last they stay. NaN when nothing was learned.
  // Laws: 0 <= low <= high; estimates of 0 have low 0.
  DepthError at(double hours, double estimate_mm) const;
};

}  // namespace gaugeloom
