#include "gaugeloom/storms/area_rain.hpp"

#include <algorithm>
#include <limits>
#include <map>

#include "gaugeloom/core/bulk_budget.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/interp/climatological_variogram.hpp"
#include "storms/field_mean_internal.hpp"

namespace gaugeloom {
namespace {

constexpr float kNan = std::numeric_limits<float>::quiet_NaN();

// The sets of gauges that have a value together, and which set each step has.
struct Patterns {
  std::vector<std::vector<std::size_t>> sets;
  BulkVector<std::uint32_t> of_step;
};

Patterns patterns_of(const RainTable& depth) {
  Patterns patterns;
  std::map<std::vector<std::size_t>, std::uint32_t> known;
  const BulkAcross across;  // all rows, step by step
  std::vector<std::size_t> set;
  for (std::size_t step = 0; step < depth.step_count(); ++step) {
    set.clear();
    for (std::size_t gauge = 0; gauge < depth.gauge_count(); ++gauge)
      if (depth.is_measured(gauge, step)) set.push_back(gauge);
    const auto [found, is_new] =
        known.try_emplace(set, static_cast<std::uint32_t>(patterns.sets.size()));
    if (is_new) patterns.sets.push_back(set);
    patterns.of_step.push_back(found->second);
  }
  return patterns;
}

// One area through all steps.
void add_area(const SeriesRecord& record, const DurationErrors& errors,
              std::span<const AreaWeights> by_pattern, const Patterns& patterns, std::size_t area,
              AreaSeries& series) {
  const bool bounds = !record.standard_error_mm.empty();
  const bool learned = !errors.durations.empty();
  const double hours = record.depth.axis().step_hours();
  for (std::size_t step = 0; step < series.steps; ++step) {
    const AreaWeights& weights = by_pattern[patterns.of_step[step]];
    const std::size_t i = area * series.steps + step;
    series.supported_share[i] = static_cast<float>(weights.supported_share);
    if (!speaks(weights)) continue;
    const FieldMean field = field_mean(
        weights, weights.step_variance, weights.step_spread,
        [&](std::size_t gauge) { return static_cast<double>(record.depth.depth_mm(gauge, step)); },
        [&](std::size_t gauge) {
          const float error = bounds ? record.standard_error_mm[record.index(gauge, step)] : 0;
          return error > 0 ? static_cast<double>(error) : 0.0;  // NaN where measured
        });
    series.mean_mm[i] = static_cast<float>(field.mean_mm);
    double low_mm = field.low_mm();
    double high_mm = field.high_mm();
    if (learned) {
      const DepthError gauge = errors.at(hours, field.mean_mm);
      low_mm = std::min(low_mm, field.low_mm(gauge, weights.step_share));
      high_mm = std::max(high_mm, field.high_mm(gauge, weights.step_share));
    }
    series.low_mm[i] = static_cast<float>(low_mm);
    series.high_mm[i] = static_cast<float>(high_mm);
  }
}

// Gauges on one spot do not agree: without any nugget their system has no solution.
Variogram with_nugget(Variogram variogram) {
  constexpr double kLeastNugget = 0.02;  // of the sill; our choice
  if (variogram.nugget < kLeastNugget) {
    variogram.nugget = kLeastNugget;
    variogram.partial_sill = 1 - kLeastNugget;
  }
  return variogram;
}

}  // namespace

AreaVariograms learn_area_variograms(std::span<const MetricPoint> gauges,
                                     const SeriesRecord& record, std::span<const Storm> storms,
                                     std::span<const StormGauge> rows, int threads) {
  std::vector<float> totals(gauges.size() * storms.size());
  double hours = 0;
  for (const StormGauge& row : rows)
    totals[row.gauge * storms.size() + row.storm] = static_cast<float>(row.total_mm);
  for (const Storm& storm : storms)
    hours += std::chrono::duration<double, std::ratio<3600>>(storm.over.length()).count();
  const double mean_hours = storms.empty() ? 24 : hours / static_cast<double>(storms.size());
  const ClimatologicalVariogram storm = climatological_variogram(
      gauges, {totals, gauges.size(), storms.size()}, mean_hours, std::nullopt, threads);
  const ClimatologicalVariogram step = climatological_variogram(
      gauges, {record.depth.values(), gauges.size(), record.depth.step_count()},
      record.depth.axis().step_hours(), std::nullopt, threads);
  AreaVariograms variograms;
  variograms.maps = storm.variogram;
  variograms.options.storm = with_nugget(storm.variogram);
  variograms.options.step = with_nugget(step.variogram);
  variograms.storm_learned = storm.learned;
  variograms.step_learned = step.learned;
  return variograms;
}

AreaSeries area_series(const Network& network, const SeriesRecord& record,
                       const DurationErrors& errors, std::span<const Area> areas,
                       const AreaVariograms& variograms, int threads) {
  const std::vector<MetricPoint> gauges = network.positions();
  AreaSeries series;
  series.steps = record.depth.step_count();
  series.mean_mm.assign(areas.size() * series.steps, kNan);
  series.low_mm = series.high_mm = series.supported_share = series.mean_mm;
  const Patterns patterns = patterns_of(record.depth);
  parallel_for(areas.size(), threads, [&](std::size_t area) {
    const std::vector<MetricPoint> points = area_points(areas[area], variograms);
    std::vector<AreaWeights> by_pattern;
    for (const auto& set : patterns.sets)
      by_pattern.push_back(area_weights(gauges, set, points, variograms.options));
    add_area(record, errors, by_pattern, patterns, area, series);
  });
  return series;
}

}  // namespace gaugeloom
