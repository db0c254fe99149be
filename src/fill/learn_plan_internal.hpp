#pragma once
// How this network is best estimated: everything is tried by leave-one-out over hours.

#include <vector>

#include "fill/course_internal.hpp"
#include "fill/ground_internal.hpp"
#include "fill/pair_sums_internal.hpp"

namespace gaugeloom::fill_internal {

// Over hours, of one gauge: how well the plan estimates it.
struct GaugeScore {
  double hourly_error_mm = 0;  // NaN when never tested
  double skill = 0;            // NaN when never tested or never wet
};

struct Learned {
  FillPlan plan;
  WeightRule rule;
  std::vector<double> ratios;  // per gauge; 1 where not used
  std::vector<MeanRatio> mean_ratios;
  std::vector<GaugeScore> gauges;
};

// The course of one gauge under the plan; a threshold and a factor of their own because of the site
// ratio.
CourseRule course_rule(const Ground& ground, const Learned& learned, std::size_t gauge);

// Everything but the bands. Order: site ratios from inverse distance; the variogram with the
// smallest error over hours out of a fixed grid; then every method with and without site ratios,
// each with its own wet threshold and mean ratios.
// plan.learned is false with fewer than 100 wet hours that could be tested (our choice: 5 % of
// them are 5 values); then only the course of known totals can be told, by inverse distance.
Learned learn_plan(const Ground& ground);

}  // namespace gaugeloom::fill_internal
