#pragma once
// The scaled (climatological) variogram of a network: one shape for all steps of a duration, with
// sill 1, so that gamma(h, t) = s_t^2 gamma*(h) with s_t^2 the spread of step t. It is learned on
// the square-root scale.
// Sources: G. Bastin et al., Water Resour. Res. 20 (1984), p. 463; T. Lebel and J.-P. Laborde,
// Stoch. Hydrol. Hydraul. 2 (1988), p. 245.

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/interp/experimental_variogram.hpp"
#include "gaugeloom/interp/field_record.hpp"
#include "gaugeloom/interp/variogram.hpp"

namespace gaugeloom {

struct ClimatologicalVariogram {
  Variogram variogram;          // sill 1
  bool learned = false;         // false: the default for the duration, since data were too few
  std::size_t fields_used = 0;  // partly wet steps that entered
  std::size_t pairs_used = 0;   // scaled differences that entered
  std::vector<VariogramBin>
      bins;  // what was fitted, scaled like the variogram; empty if not learned
};

// The default: exponential with a tenth nugget, its range 15 km up to 15 min, 25 km at 1 h, 35 km
// at 6 h, 45 km from 24 h on (our choice, from the design of this project), in between linear in
// the logarithm of the duration.
Variogram default_climatological_variogram(double duration_hours);

// Pools differences of square roots over partly wet steps, each scaled by the spread of its step.
//
//   points          n positions; points[i] belongs to row i of `depths`
//   depths          depths in mm, >= 0, NaN = missing
//   duration_hours  > 0, of a step: it chooses the default only
//   shape           not given: the better fitting of exponential and spherical
//   threads         0 = all cores; the result does not depend on it
//
// A step enters when at least 8 points are there, a tenth of them or more are wet, and they differ.
// At most 160 such steps, spread evenly over the record, and some 24 000 pairs up to half of the
// network's diagonal (200 km at most) are used, as many near as far ones, chosen by a rule without
// chance. A pair that is dry at both ends is left out of its step: such ties at zero would bias the
// robust average. The pairs lie in up to 15 bins of equal count; the robust average is fitted with
// weights pairs / gamma^2, the range within the cutoff, then everything is scaled to sill 1.
// It is learned from 8 points, 20 steps and 2000 differences on. These numbers are our choice.
//
// Laws (each one is a test): depths times c change nothing; the variogram has sill 1; its range
// follows that of a simulated field; the same result for any number of threads.
// Requires:  points.size() == depths.points.
// Throws:    Error{invalid_option} if duration_hours is not above 0.
// Cost:      some 5 million differences and 2 million distances, at most.
ClimatologicalVariogram climatological_variogram(std::span<const MetricPoint> points,
                                                 const FieldRecord& depths, double duration_hours,
                                                 std::optional<VariogramShape> shape = std::nullopt,
                                                 int threads = 1);

}  // namespace gaugeloom
