#include <limits>
#include <map>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/geo/thiessen.hpp"
#include "gaugeloom/interp/inverse_distance.hpp"
#include "gaugeloom/storms/area_rain.hpp"
#include "storms/area_cells_internal.hpp"
#include "storms/field_mean_internal.hpp"

namespace gaugeloom {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr std::size_t kMapPoints = 2000;  // at which a map is read over an area, about; our choice

// One area: its points, and the weights of each set of gauges that has a total, made when asked.
class AreaInStorms {
 public:
  AreaInStorms(std::span<const MetricPoint> gauges, const Area& area,
               const AreaVariograms& variograms)
      : gauges_(gauges),
        area_(area),
        options_(variograms.options),
        points_(area_points(area, variograms)),
        cells_(area.polygon, kMapPoints) {}

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
  const AreaCells& cells() const { return cells_; }

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
  AreaCells cells_;
  std::map<std::vector<std::size_t>, Weights> known_;
};

// What the map of a storm has over an area: NaN without any support.
struct MapDepths {
  double mean_mm = kNan;
  double max_mm = kNan;
};

MapDepths depths_over(const AreaCells& cells, const RainMap& map) {
  MapDepths depths;
  double sum = 0;
  std::size_t supported = 0;
  for (const double mm : cells.totals_mm(map)) {
    if (mm != mm) continue;
    sum += mm;
    ++supported;
    if (!(mm <= depths.max_mm)) depths.max_mm = mm;
  }
  if (supported > 0) depths.mean_mm = sum / static_cast<double>(supported);
  return depths;
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
  for (std::size_t i = 0; i < area.gauges.size(); ++i) {
    row.share_filled += area.weights[i] * rows[area.gauges[i]].share_filled;
    row.gauges += area.weights[i] > 0 ? 1 : 0;
  }
}

// The mean depth of all gauges that have every step: the course where an area has none.
double mean_of_gauges(const RainTable& depth, std::span<const StormGauge> rows, std::size_t step) {
  double sum = 0;
  std::size_t count = 0;
  for (const StormGauge& row : rows) {
    if (row.total_mm != row.total_mm) continue;
    sum += static_cast<double>(depth.depth_mm(row.gauge, step));
    ++count;
  }
  return sum / static_cast<double>(count);
}

// Brings the steps of an area in a storm to the mean of its map; the bounds keep their reach.
void bring_to(double mean_mm, StepAxis::Range steps, std::span<float> mean, std::span<float> low,
              std::span<float> high, const std::function<double(std::size_t)>& other_course) {
  const std::vector<float> before(mean.begin() + static_cast<std::ptrdiff_t>(steps.first),
                                  mean.begin() + static_cast<std::ptrdiff_t>(steps.last));
  double sum = 0;
  std::vector<double> course(before.begin(), before.end());
  for (const double mm : course) sum += mm;
  if (sum != sum) return;
  if (!(sum > 0))
    for (std::size_t i = 0; i < course.size(); ++i)
      sum += course[i] = other_course(steps.first + i);
  const double share = sum > 0 ? mean_mm / sum : 0;
  for (std::size_t i = 0; i < course.size(); ++i) {
    const std::size_t step = steps.first + i;
    const auto now = static_cast<float>(course[i] * share);
    low[step] = std::max(0.0F, now - (before[i] - low[step]));
    high[step] = now + (high[step] - before[i]);
    mean[step] = now;
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
                 const AreaSeries& series, std::size_t index, double max_mm) {
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
  if (row.mean_mm == row.mean_mm) {
    add_error(row, weights.kriging, rows);
    row.max_mm = max_mm;
  }
  add_plain(row, weights, totals_mm, area.points());
  return row;
}

}  // namespace

std::vector<StormArea> storm_areas(const Network& network, const RainTable& depth,
                                   std::span<const Storm> storms, std::span<const StormGauge> rows,
                                   std::span<const Area> areas, const StormMaps& maps,
                                   const AreaVariograms& variograms, AreaSeries& series,
                                   int threads) {
  const std::size_t gauges = network.size();
  GAUGELOOM_ASSERT(rows.size() == storms.size() * gauges);
  const std::vector<MetricPoint> positions = network.positions();
  std::vector<AreaInStorms> places;
  for (const Area& area : areas) places.emplace_back(positions, area, variograms);
  std::vector<StormArea> table(storms.size() * areas.size());
  for (std::size_t s = 0; s < storms.size(); ++s) {
    const auto of_storm = rows.subspan(s * gauges, gauges);
    const std::optional<RainMap> map = maps(s);
    parallel_for(areas.size(), threads, [&](std::size_t a) {
      const MapDepths depths = map ? depths_over(places[a].cells(), *map) : MapDepths{};
      const auto part = [&](BulkVector<float>& all) {
        return std::span<float>(all).subspan(a * series.steps, series.steps);
      };
      if (depths.mean_mm == depths.mean_mm)
        bring_to(depths.mean_mm, storms[s].steps, part(series.mean_mm), part(series.low_mm),
                 part(series.high_mm),
                 [&](std::size_t step) { return mean_of_gauges(depth, of_storm, step); });
      table[s * areas.size() + a] =
          row_of(places[a], storms[s], of_storm, series, a, depths.max_mm);
    });
  }
  return table;
}

}  // namespace gaugeloom
