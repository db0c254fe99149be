#pragma once
// What a gauge was found to need in the laboratory: a factor by intensity.

#include <optional>
#include <span>
#include <vector>

namespace gaugeloom {

struct CalibrationPoint {
  double intensity_mm_h = 0;  // as the gauge indicates it: its tips times its bucket per hour
  double factor = 1;          // true depth = factor * indicated depth

  bool operator==(const CalibrationPoint&) const = default;
};

class CalibrationTable {
 public:
  // One point or more, in any order. Requires: intensities finite, >= 0 and all different, factors
  // finite and > 0.
  explicit CalibrationTable(std::vector<CalibrationPoint> points);

  std::span<const CalibrationPoint> points() const { return points_; }  // by intensity

  // Between two points linear in intensity; beyond the ends the factor of the end.
  double factor(double indicated_mm_h) const;
  bool reaches(double indicated_mm_h) const;  // within the ends, both included

 private:
  std::vector<CalibrationPoint> points_;
};

}  // namespace gaugeloom
