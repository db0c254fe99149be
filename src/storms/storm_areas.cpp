#include <limits>
#include <map>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/geo/thiessen.hpp"
#include "gaugeloom/interp/inverse_distance.hpp"
#include "gaugeloom/storms/area_rain.hpp"
#include "storms/field_mean_internal.hpp"

namespace gaugeloom {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

// One area: its points, and the weights of each set of gauges that has a total, made when asked.
class AreaInStorms {
 public:
  AreaInStorms(std::span<const MetricPoint> gauges, const Area& area,
               const AreaVariograms& variograms)
      : gauges_(gauges),
        area_(area),
        options_(variograms.options),
        points_(area_points(area, variograms)) {}

  struct Weights {
    AreaWeights kriging;
    std::vector<double> thiessen;  // of the set
    std::vector<MetricPoint> places;
  };
  const Weights& of(const std::vector<std::size_t>& set) {
    const auto [found, is_new] = known_.try_emplace(set);
    if (is_new) found->second = made(set);
    return found->second;
  }
  std::span<const MetricPoint> points() const { return points_; }

 private:
  Weights made(const std::vector<std::size_t>& set) const {
    Weights weights;
    weights.kriging = area_weights(gauges_, set, points_, options_);
    for (const std::size_t gauge : set) weights.places.push_back(gauges_[gauge]);
    if (set.empty()) return weights;
    for (const ThiessenCell& cell : thiessen_cells(weights.places, area_.polygon))
      weights.thiessen.push_back(cell.weight);
    return weights;
  }

  std::span<const MetricPoint> gauges_;
  const Area& area_;
  const AreaWeightOptions& options_;
  std::vector<MetricPoint> points_;
  std::map<std::vector<std::size_t>, Weights> known_;
};

double largest_at_points(const AreaWeights& area, std::span<const StormGauge> rows) {
  double most = kNan;
  for (const PointWeights& point : area.points) {
    if (point.weights.empty()) continue;
    double mm = 0;
    for (std::size_t i = 0; i < point.weights.size(); ++i)
      mm += point.weights[i] * rows[point.gauges[i]].total_mm;
    if (!(mm <= most)) most = mm;
  }
  return most;
}

// The plain ways, for comparison.
void add_plain(StormArea& row, const AreaInStorms::Weights& weights,
               std::span<const double> totals_mm, std::span<const MetricPoint> points) {
  row.thiessen_mm = 0;
  for (std::size_t i = 0; i < totals_mm.size(); ++i)
    row.thiessen_mm += weights.thiessen[i] * totals_mm[i];
  row.inverse_distance_mm = 0;
  for (const Estimate& one : inverse_distance(weights.places, totals_mm, points))
    row.inverse_distance_mm += one.value / static_cast<double>(points.size());
}

void add_error(StormArea& row, const AreaWeights& area, std::span<const StormGauge> rows) {
  FieldMean field = field_mean(
      area, area.storm_variance, area.storm_spread,
      [&](std::size_t gauge) { return rows[gauge].total_mm; },
      [&](std::size_t gauge) { return rows[gauge].fill_error_mm; });
  field.mean_mm = row.mean_mm;  // of the steps, of which some gauge may lack one
  row.standard_error_mm = field.error_mm();
  row.low_mm = field.low_mm();
  row.high_mm = field.high_mm();
  row.max_mm = largest_at_points(area, rows);
  for (std::size_t i = 0; i < area.gauges.size(); ++i) {
    row.share_filled += area.weights[i] * rows[area.gauges[i]].share_filled;
    row.gauges += area.weights[i] > 0 ? 1 : 0;
  }
}

// Sums the steps of the storm.
void add_steps(StormArea& row, const Storm& storm, const AreaSeries& series) {
  row.supported_share = 1;
  for (std::size_t step = storm.steps.first; step < storm.steps.last; ++step) {
    const std::size_t i = row.area * series.steps + step;
    row.mean_mm += static_cast<double>(series.mean_mm[i]);
    row.supported_share =
        std::min(row.supported_share, static_cast<double>(series.supported_share[i]));
  }
}

StormArea row_of(AreaInStorms& area, const Storm& storm, std::span<const StormGauge> rows,
                 const AreaSeries& series, std::size_t index) {
  StormArea row;
  row.storm = rows.front().storm;
  row.area = index;
  row.low_mm = row.high_mm = row.standard_error_mm = row.max_mm = row.thiessen_mm =
      row.inverse_distance_mm = kNan;
  add_steps(row, storm, series);
  std::vector<std::size_t> set;
  std::vector<double> totals_mm;
  for (const StormGauge& one : rows) {
    if (one.total_mm != one.total_mm) continue;
    set.push_back(one.gauge);
    totals_mm.push_back(one.total_mm);
  }
  const AreaInStorms::Weights& weights = area.of(set);
  if (!speaks(weights.kriging)) return row;
  if (row.mean_mm == row.mean_mm) add_error(row, weights.kriging, rows);
  add_plain(row, weights, totals_mm, area.points());
  return row;
}

}  // namespace

std::vector<StormArea> storm_areas(const Network& network, std::span<const Storm> storms,
                                   std::span<const StormGauge> rows, std::span<const Area> areas,
                                   const AreaSeries& series, const AreaVariograms& variograms,
                                   int threads) {
  const std::size_t gauges = network.size();
  GAUGELOOM_ASSERT(rows.size() == storms.size() * gauges);
  const std::vector<MetricPoint> positions = network.positions();
  std::vector<StormArea> table(storms.size() * areas.size());
  parallel_for(areas.size(), threads, [&](std::size_t a) {
    AreaInStorms area(positions, areas[a], variograms);
    for (std::size_t s = 0; s < storms.size(); ++s)
      table[s * areas.size() + a] =
          row_of(area, storms[s], rows.subspan(s * gauges, gauges), series, a);
  });
  return table;
}

}  // namespace gaugeloom
