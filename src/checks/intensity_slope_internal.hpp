#pragma once
// Whether a change of calibration falls on heavy rain more than on light rain.

#include <span>

#include "gaugeloom/expect/ratio_break.hpp"

namespace gaugeloom {

struct IntensitySlope {
  double slope = 0;  // of the log ratio on the log of the intensity
  double error = 0;  // its standard error; infinite where all intensities are alike
};

// Weighted least squares of the values on `log_intensity`, one per point.
IntensitySlope intensity_slope(std::span<const RatioPoint> points,
                               std::span<const double> log_intensity);

}  // namespace gaugeloom
