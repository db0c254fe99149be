#include "gaugeloom/storms/area_weights.hpp"

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/geo/gauge_index.hpp"
#include "gaugeloom/interp/block_kriging.hpp"
#include "gaugeloom/interp/leave_one_out.hpp"
#include "gaugeloom/storms/rain_map.hpp"
#include "storms/hull_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kFewestGauges = 3;

std::vector<MetricPoint> chosen(std::span<const MetricPoint> points,
                                std::span<const std::size_t> rows) {
  std::vector<MetricPoint> places;
  for (const std::size_t row : rows) places.push_back(points[row]);
  return places;
}

double mean_semivariance(std::span<const MetricPoint> places, const Variogram& variogram) {
  double sum = 0;
  for (std::size_t i = 0; i < places.size(); ++i)
    for (std::size_t j = 0; j < i; ++j)
      sum += variogram.sill() - variogram.structured_covariance(distance_m(places[i], places[j]));
  const auto n = static_cast<double>(places.size());
  return sum / (n * (n - 1) / 2);
}

// The mean variance of one of these places told from the others: what a gauge's estimate has.
double left_out_variance(std::span<const MetricPoint> places, const Variogram& variogram) {
  KrigingOptions options;
  options.negative_weights = NegativeWeights::drop;
  const std::vector<double> none(places.size(), 0.0);
  double sum = 0;
  for (const Estimate& one : leave_one_out_kriging(places, none, {}, variogram, options))
    sum += one.variance;
  return sum / static_cast<double>(places.size());
}

// Indices into `places` of the gauges that are near to any point.
std::vector<std::size_t> speaking(std::span<const MetricPoint> places,
                                  std::span<const MetricPoint> points, std::size_t per_point) {
  const GaugeIndex index(places);
  std::vector<bool> near(places.size());
  for (const MetricPoint& point : points)
    for (const Neighbour& gauge : index.nearest(point, per_point)) near[gauge.index] = true;
  std::vector<std::size_t> gauges;
  for (std::size_t i = 0; i < near.size(); ++i)
    if (near[i]) gauges.push_back(i);
  return gauges;
}

}  // namespace

std::optional<std::string> AreaWeightOptions::problem() const {
  for (const Variogram* one : {&storm, &step})
    if (auto found = one->problem()) return found;
  if (points == 0 || per_point == 0)
    return "an area needs at least one point, and a point at least one gauge";
  return std::nullopt;
}

AreaWeights area_weights(std::span<const MetricPoint> gauges,
                         std::span<const std::size_t> available,
                         std::span<const MetricPoint> points, const AreaWeightOptions& options) {
  if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
  GAUGELOOM_ASSERT(!points.empty());
  AreaWeights area;
  if (available.size() < kFewestGauges) return area;
  const std::vector<MetricPoint> all = chosen(gauges, available);
  const std::vector<std::size_t> near = speaking(all, points, options.per_point);
  const std::vector<MetricPoint> places = chosen(all, near);
  if (places.size() < kFewestGauges) return area;

  KrigingOptions kriging;
  kriging.max_neighbours = 0;
  kriging.negative_weights = NegativeWeights::drop;
  const KrigingWeights mean = block_kriging_weights(places, {}, points, {}, options.storm, kriging);
  if (mean.status != EstimateStatus::ok) return area;
  for (const std::size_t i : near) area.gauges.push_back(available[i]);
  area.weights = mean.weights;
  area.storm_variance = mean.variance;
  area.step_variance = block_error_variance(places, mean.weights, points, {}, options.step);
  area.storm_spread = mean_semivariance(places, options.storm);
  area.step_spread = mean_semivariance(places, options.step);
  area.step_share = std::sqrt(area.step_variance / left_out_variance(places, options.step));

  const ConvexHull hull(all);
  const double reach_m = options.outside_spacings * median_spacing_m(all);
  kriging.max_neighbours = static_cast<int>(2 * options.per_point);
  std::size_t supported = 0;
  for (const MetricPoint& point : points) {
    const KrigingWeights one = kriging_weights(places, {}, point, options.storm, kriging);
    const double structured = one.variance - options.storm.nugget;
    const bool known = one.status == EstimateStatus::ok &&
                       structured <= options.lost_share * options.storm.partial_sill;
    supported += known && hull.distance_m(point) <= reach_m ? 1 : 0;
  }
  area.supported_share = static_cast<double>(supported) / static_cast<double>(points.size());
  return area;
}

}  // namespace gaugeloom
