#pragma once
// From neighbour estimates to depths: the amount from the raw scale, the course from wet steps.

#include <cstddef>
#include <span>
#include <vector>

#include "fill/neighbour_estimates_internal.hpp"
#include "gaugeloom/core/bulk_vector.hpp"
#include "gaugeloom/fill/fill_gaps.hpp"

namespace gaugeloom::fill_internal {

// Mean measured over estimated depth of wet steps, by the size of the estimate. A threshold takes
// water from light rain, and distant neighbours blur heavy rain; one factor for all would put
// light rain right at the cost of storms.
struct MeanRatio {
  double estimate_mm = 0;
  double ratio = 1;
};

struct CourseRule {
  FillMethod method = FillMethod::inverse_distance;
  double threshold = 0;           // dry where the root estimate is below it
  double factor = 1;              // on all amounts, before the ratios
  std::size_t mass_steps = 1;     // the amount is kept within runs of so many steps
  std::vector<MeanRatio> ratios;  // by rising estimate; linear in its logarithm, then constant
};

// Depths of one gauge over the steps that are `asked` (their estimates must be finite), others are
// left as they are in `depth`. Within a piece of `mass_steps` steps (counted from the beginning of
// the record) the asked steps get the sum of their amounts, laid on the wet ones; without a wet
// step it is lost. The mean ratios come last.
void lay_course(const NeighbourEstimates& estimates, std::span<const char> asked,
                const CourseRule& rule, std::span<float> depth_mm);

// The ratios from pairs of estimate and measured depth, estimates above 0. At
// least 200 pairs each (our choice: their mean is then known to some 10 %).
struct MeanPair {
  float estimate_mm = 0;
  float measured_mm = 0;
};
std::vector<MeanRatio> mean_ratios(BulkVector<MeanPair> pairs);
double mean_ratio(std::span<const MeanRatio> ratios, double estimate_mm);

}  // namespace gaugeloom::fill_internal
