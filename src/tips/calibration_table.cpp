#include "gaugeloom/tips/calibration_table.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {

CalibrationTable::CalibrationTable(std::vector<CalibrationPoint> points)
    : points_(std::move(points)) {
  GAUGELOOM_ASSERT(!points_.empty());
  std::ranges::sort(points_, {}, &CalibrationPoint::intensity_mm_h);
  GAUGELOOM_ASSERT(std::ranges::all_of(points_, [](const CalibrationPoint& point) {
    return std::isfinite(point.factor) && point.factor > 0;
  }));
}

double CalibrationTable::factor(double indicated_mm_h) const {
  const auto above =
      std::ranges::upper_bound(points_, indicated_mm_h, {}, &CalibrationPoint::intensity_mm_h);
  if (above == points_.begin()) return points_.front().factor;
  if (above == points_.end()) return points_.back().factor;
  const CalibrationPoint& below = *std::prev(above);
  const double share =
      (indicated_mm_h - below.intensity_mm_h) / (above->intensity_mm_h - below.intensity_mm_h);
  return below.factor + share * (above->factor - below.factor);
}

bool CalibrationTable::reaches(double indicated_mm_h) const {
  return points_.front().intensity_mm_h <= indicated_mm_h &&
         indicated_mm_h <= points_.back().intensity_mm_h;
}

}  // namespace gaugeloom
