#pragma once
// Learns error bins from pairs of estimate and measured depth.

#include <span>
#include <vector>

#include "gaugeloom/core/bulk_vector.hpp"
#include "gaugeloom/fill/duration_errors.hpp"

namespace gaugeloom::fill_internal {

struct ErrorPair {
  float estimate_mm = 0;
  float measured_mm = 0;
};

// Bins by rising estimate: fifths, finer towards the largest, at least 50 pairs each (fewer pairs
// in all: one bin). Only pairs with an estimate above 0 enter. The pairs are sorted.
std::vector<ErrorBin> error_bins(BulkVector<ErrorPair>& pairs);

// What was measured where the estimate was 0.
struct DryErrors {
  double high_mm = 0;   // 95 % quantile
  double error_mm = 0;  // root mean square
};
// measured_mm holds only the depths above 0; `zeros` counts the others.
DryErrors dry_errors(std::vector<float>& measured_mm, std::size_t zeros);

// Bounds and error of an estimate > 0 by these bins: ratios go linearly with the logarithm of the
// estimate; below the first bin its bounds in mm stay, above the last its ratios.
DepthError error_at(std::span<const ErrorBin> bins, double estimate_mm);

}  // namespace gaugeloom::fill_internal
