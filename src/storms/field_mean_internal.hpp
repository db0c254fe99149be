#pragma once
// The mean of one field over an area, and its error, from the weights of its gauges.

#include <algorithm>
#include <cmath>
#include <vector>

#include "gaugeloom/storms/area_rain.hpp"

namespace gaugeloom {

inline constexpr double kNormal90 = 1.6448536269514722;  // 95 % quantile of the normal law

struct FieldMean {
  double mean_mm = 0;
  double error_mm = 0;
  double low_mm() const { return std::max(0.0, mean_mm - kNormal90 * error_mm); }
  double high_mm() const { return mean_mm + kNormal90 * error_mm; }
};

// depth(gauge) and error(gauge) of what was filled there, 0 where measured.
template <typename Depth, typename FillError>
FieldMean field_mean(const AreaWeights& area, double variance, double spread, const Depth& depth,
                     const FillError& fill_error) {
  FieldMean field;
  double plain_mean = 0;
  double fill_variance = 0;
  const auto n = static_cast<double>(area.gauges.size());
  for (std::size_t i = 0; i < area.gauges.size(); ++i) {
    const double mm = depth(area.gauges[i]);
    const double error = area.weights[i] * fill_error(area.gauges[i]);
    field.mean_mm += area.weights[i] * mm;
    plain_mean += mm / n;
    fill_variance += error * error;
  }
  double squares = 0;
  for (const std::size_t gauge : area.gauges) {
    const double off = depth(gauge) - plain_mean;
    squares += off * off;
  }
  field.error_mm = std::sqrt(variance * (squares / (n - 1)) / spread + fill_variance);
  return field;
}

inline bool speaks(const AreaWeights& area) { return !area.empty() && area.supported_share > 0; }

inline std::vector<MetricPoint> area_points(const Area& area, const AreaVariograms& variograms) {
  return about_grid_points(area.polygon, variograms.options.points);
}

}  // namespace gaugeloom
