#pragma once
// What a gauge read and what was expected of it, over the same windows, in longer blocks (a day).

#include <chrono>
#include <span>
#include <vector>

#include "gaugeloom/core/bulk_vector.hpp"
#include "gaugeloom/expect/expected_depths.hpp"
#include "gaugeloom/rain/rain_table.hpp"

namespace gaugeloom {

// One block of one gauge. Both sums run over the windows where the gauge is measured and testable.
struct BlockSum {
  float observed_mm = 0;
  float expected_mm = 0;
  float usable_share = 0;  // of the windows of the block; 0 while it is not over
  bool accepted = true;    // none of its windows is excluded
};

// Blocks begin at whole multiples of their length in UTC; gauge-major.
struct BlockSums {
  StepAxis axis;
  std::vector<std::size_t> first_window;  // of each block, and one past the last
  BulkVector<BlockSum> values;

  std::size_t blocks() const { return axis.count(); }
  std::span<const BlockSum> row(std::size_t gauge) const {
    return std::span(values).subspan(gauge * blocks(), blocks());
  }
};

// A block needs `usable_share` >= kLeastBlockShare to be judged.
inline constexpr float kLeastBlockShare = 0.6F;

// Requires block >= the step of `depths`. Cost: one pass.
BlockSums block_sums(const RainTable& depths, const ExpectedDepths& expected,
                     const Exclusions& excluded, std::chrono::seconds block);

// log((observed + bucket) / (expected + bucket)): 0 when they agree, the bucket keeping zeros
// finite.
double log_ratio(double observed_mm, double expected_mm, double bucket_mm);

// Refines the ratios that the estimates behind `blocks` were made with. Each gauge's is multiplied
// by the exponential of the weighted median of the log ratios of its accepted blocks with at least
// 2 mm expected (weights: the square root of the depth, at most 5), shrunk as if 16 more blocks had
// said "like the network"; within 1/3 to 3. The lift is the median of all, which then is 1. Source:
// Paulhus and Kohler, Monthly Weather Review 80, 1952 (normal ratio), made robust.
SiteRatios refined_site_ratios(const BlockSums& blocks, std::span<const double> bucket_mm,
                               const SiteRatios& previous);

}  // namespace gaugeloom
