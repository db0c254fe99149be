#include "gaugeloom/expect/double_mass.hpp"

#include <limits>

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {

std::vector<DoubleMassPoint> double_mass_curve(std::span<const double> own_mm,
                                               std::span<const double> neighbours_mm,
                                               double least_mm) {
  GAUGELOOM_ASSERT(own_mm.size() == neighbours_mm.size() && least_mm > 0);
  std::vector<DoubleMassPoint> curve;
  DoubleMassPoint sum;
  double told_mm = 0;
  bool pending = false;
  for (std::size_t block = 0; block < own_mm.size(); ++block) {
    if (!(own_mm[block] > 0) && !(neighbours_mm[block] > 0)) continue;
    sum = {block, sum.own_mm + own_mm[block], sum.neighbours_mm + neighbours_mm[block]};
    pending = sum.neighbours_mm - told_mm < least_mm;
    if (pending) continue;
    told_mm = sum.neighbours_mm;
    curve.push_back(sum);
  }
  if (pending) curve.push_back(sum);
  return curve;
}

double mass_slope(const DoubleMassPoint& from, const DoubleMassPoint& to) {
  const double neighbours_mm = to.neighbours_mm - from.neighbours_mm;
  if (!(neighbours_mm > 0)) return std::numeric_limits<double>::quiet_NaN();
  return (to.own_mm - from.own_mm) / neighbours_mm;
}

}  // namespace gaugeloom
