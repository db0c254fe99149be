#include "gaugeloom/storms/elevation_factor.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/portable_math.hpp"
#include "gaugeloom/interp/record_leave_one_out.hpp"
#include "storms/left_out_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kFewestStorms = 30;  // both from the design of this project
constexpr double kLeastGain = 0.02;
constexpr double kRateStep = 0.5e-4;  // per m
constexpr int kLowestStep = -20;
constexpr int kHighestStep = 60;

class Trial {
 public:
  Trial(std::span<const MetricPoint> gauges, std::span<const double> elevation_m,
        const FieldRecord& totals, const SurfaceOptions& options, int threads)
      : elevation_m_(elevation_m),
        totals_(totals),
        left_out_(gauges, options.variogram, settings(options, threads)) {
    for (const double elevation : elevation_m)
      reference_m_ += elevation / static_cast<double>(elevation_m.size());
  }

  // The root mean square error in mm with this factor; infinite where nothing can be estimated.
  double rmse_mm(const ElevationFactor& factor) {
    std::vector<float> levelled(totals_.values.begin(), totals_.values.end());
    for (std::size_t g = 0; g < totals_.points; ++g)
      for (std::size_t s = 0; s < totals_.steps; ++s)
        levelled[g * totals_.steps + s] = static_cast<float>(
            static_cast<double>(levelled[g * totals_.steps + s]) / factor.at(elevation_m_[g]));
    left_out_.run({levelled, totals_.points, totals_.steps}, {}, 0, totals_.steps, estimates_);
    double squares = 0;
    std::size_t count = 0;
    for (std::size_t g = 0; g < totals_.points; ++g)
      for (std::size_t s = 0; s < totals_.steps; ++s) {
        const std::size_t i = g * totals_.steps + s;
        const double estimate = std::max(0.0, estimates_.estimate[i]) * factor.at(elevation_m_[g]);
        const double error = estimate - static_cast<double>(totals_.values[i]);
        if (std::isnan(error) || std::isnan(estimates_.estimate[i])) continue;
        squares += error * error;
        ++count;
      }
    return count > 0 ? std::sqrt(squares / static_cast<double>(count))
                     : std::numeric_limits<double>::infinity();
  }

  double reference_m() const { return reference_m_; }

 private:
  static RecordLeaveOneOutOptions settings(const SurfaceOptions& options, int threads) {
    RecordLeaveOneOutOptions settings = left_out_options(options);
    settings.threads = threads;
    return settings;
  }

  std::span<const double> elevation_m_;
  FieldRecord totals_;
  RecordLeaveOneOut left_out_;
  LeaveOneOutBlock estimates_;
  double reference_m_ = 0;
};

}  // namespace

double ElevationFactor::at(double elevation_m) const {
  return portable_exp(rate_per_m * (elevation_m - reference_m));
}

ElevationTrial try_elevation(std::span<const MetricPoint> gauges,
                             std::span<const double> elevation_m, const FieldRecord& totals,
                             const SurfaceOptions& options, int threads) {
  GAUGELOOM_ASSERT(gauges.size() == totals.points && elevation_m.size() == totals.points);
  Trial trial(gauges, elevation_m, totals, options, threads);
  ElevationTrial result;
  result.storms = totals.steps;
  result.factor.reference_m = trial.reference_m();
  result.plain_rmse_mm = trial.rmse_mm(result.factor);
  result.factor_rmse_mm = result.plain_rmse_mm;
  for (int step = kLowestStep; step <= kHighestStep; ++step) {
    const ElevationFactor factor{step * kRateStep, trial.reference_m()};
    const double rmse_mm = trial.rmse_mm(factor);
    if (!(rmse_mm < result.factor_rmse_mm)) continue;
    result.factor_rmse_mm = rmse_mm;
    result.factor = factor;
  }
  result.earns_its_place = result.storms >= kFewestStorms &&
                           result.factor_rmse_mm <= (1 - kLeastGain) * result.plain_rmse_mm;
  return result;
}

}  // namespace gaugeloom
