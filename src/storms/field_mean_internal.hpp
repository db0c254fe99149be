#pragma once
// The mean of one field over an area, and its error, from the weights of its gauges.

#include <algorithm>
#include <cmath>
#include <vector>

#include "gaugeloom/fill/duration_errors.hpp"
#include "gaugeloom/storms/area_rain.hpp"

namespace gaugeloom {

inline constexpr double kNormal90 = 1.6448536269514722;  // 95 % quantile of the normal law

struct FieldMean {
  double mean_mm = 0;
  double spread_error_mm = 0;  // what the weights leave of the spread of the field
  double fill_error_mm = 0;    // of what was filled
  double error_mm() const { return root_of_squares(spread_error_mm, fill_error_mm); }
  double low_mm() const { return std::max(0.0, mean_mm - kNormal90 * error_mm()); }
  double high_mm() const { return mean_mm + kNormal90 * error_mm(); }
  // The same with the bounds that were learned for one gauge told from the others, drawn in to
  // `share` of their reach.
  double low_mm(const DepthError& gauge, double share) const {
    const double reach = share * std::max(0.0, mean_mm - gauge.low_mm);
    return std::max(0.0, mean_mm - root_of_squares(reach, kNormal90 * fill_error_mm));
  }
  double high_mm(const DepthError& gauge, double share) const {
    const double reach = share * std::max(0.0, gauge.high_mm - mean_mm);
    return mean_mm + root_of_squares(reach, kNormal90 * fill_error_mm);
  }

 private:
  static double root_of_squares(double a, double b) { return std::sqrt(a * a + b * b); }
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
  field.spread_error_mm = std::sqrt(variance * (squares / (n - 1)) / spread);
  field.fill_error_mm = std::sqrt(fill_variance);
  return field;
}

inline bool speaks(const AreaWeights& area) { return !area.empty() && area.supported_share > 0; }

inline std::vector<MetricPoint> area_points(const Area& area, const AreaVariograms& variograms) {
  return about_grid_points(area.polygon, variograms.options.points);
}

}  // namespace gaugeloom
