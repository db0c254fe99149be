#pragma once
// The laws that the estimated steps of a gauge are drawn from.

#include <optional>
#include <vector>

#include "gaugeloom/fill/band_law.hpp"
#include "gaugeloom/rain/series_record.hpp"

namespace gaugeloom::fill_internal {

// The law of a step has its band for 5 % and 95 % quantiles. Where the estimate is 0 and the upper
// bound above it, its mean is above the estimate. The estimates of wet steps hold that water
// already (fill_gaps puts on them what falls where the estimate is dry), so the means of their laws
// give way, by one factor per day (UTC), at least a half: over the day the mean is that of the
// estimates. Steps of totals keep their means: the total is laid on them anyway.
class StepLaws {
 public:
  StepLaws(const SeriesRecord& record, std::size_t gauge);

  // Nothing where there is no doubt to draw from: what is measured or missing, a band without
  // width, and the steps of a total whose course nobody knows.
  std::optional<BandLaw> at(std::size_t step) const;

 private:
  std::size_t day_of(std::size_t step) const;
  DepthError band(std::size_t step) const;
  bool is_uncertain(std::size_t step) const;

  const SeriesRecord& record_;
  std::size_t gauge_;
  std::vector<float> factors_;  // per day; empty where no step is estimated
};

}  // namespace gaugeloom::fill_internal
