#pragma once
// A measured total laid on its steps without losing any of it.

#include <span>
#include <vector>

namespace gaugeloom::fill_internal {

// Splits `total_mm` (rounded to thousandths of a mm) in proportion to `shape` (>= 0, not all 0)
// into whole thousandths: each share is rounded down, then the largest remainders get one more,
// ties going to the earlier step.
// Laws (each one is a test): the parts add up to the total exactly; no part is further than a
// thousandth from its exact share; a step with shape 0 gets nothing.
std::vector<long> split_thousandths(double total_mm, std::span<const double> shape);

}  // namespace gaugeloom::fill_internal
