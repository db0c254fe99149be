#include "gaugeloom/fill/fill_gaps.hpp"

#include <algorithm>
#include <utility>

#include "fill/fill_gauge_internal.hpp"
#include "fill/rows_by_id_internal.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/interp/climatological_variogram.hpp"

namespace gaugeloom {
namespace {

using fill_internal::FilledRow;
using fill_internal::GaugeEvidence;
using fill_internal::Ground;

void require_matching(const Network& network, const RainRecord& rain, const QualityTable& quality,
                      const FillOptions& options) {
  if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
  const std::size_t gauges = rain.depths.gauge_count();
  const std::size_t steps = rain.depths.step_count();
  if (network.size() != gauges || quality.values.size() != gauges * steps)
    throw Error(ErrorCode::invalid_option,
                "the network, the rain and the qualities must have the same gauges and steps");
}

RainTable reordered(const RainTable& table, std::span<const std::size_t> rows) {
  BulkVector<float> values;
  values.reserve(table.values().size());
  for (const std::size_t row : rows) {
    const auto depths = table.row(row);
    values.insert(values.end(), depths.begin(), depths.end());
  }
  return {table.axis(), rows.size(), std::move(values)};
}

QualityTable reordered(const QualityTable& table, std::span<const std::size_t> rows) {
  QualityTable result;
  result.steps = table.steps;
  result.values.reserve(table.values.size());
  for (const std::size_t row : rows) {
    const auto first = table.values.begin() + static_cast<std::ptrdiff_t>(row * table.steps);
    result.values.insert(result.values.end(), first,
                         first + static_cast<std::ptrdiff_t>(table.steps));
  }
  return result;
}

std::size_t hour_steps(const StepAxis& axis) {
  return axis.steps_in(std::chrono::hours{1}).value_or(1);
}

// The scaled variogram over hours: how far gauges of this network say something about each other.
Variogram learn_reach(const Ground& ground, std::span<const MetricPoint> positions) {
  RainTable usable = ground.depths;
  for (std::size_t g = 0; g < ground.gauges(); ++g)
    for (std::size_t s = 0; s < ground.steps(); ++s)
      if (!ground.donors.is_good(g, s)) usable.set_missing(g, s);
  const RainTable hours = sums(usable, ground.hour_steps);
  const FieldRecord fields{hours.values(), hours.gauge_count(), hours.step_count()};
  return climatological_variogram(positions, fields, ground.hours(ground.hour_steps), std::nullopt,
                                  ground.options.threads)
      .variogram;
}

Ground lay_ground(const Network& network, const RainRecord& rain, const QualityTable& quality,
                  std::span<const std::size_t> rows, const FillOptions& options) {
  RainTable depths = reordered(rain.depths, rows);
  QualityTable qualities = reordered(quality, rows);
  fill_internal::Donors donors(depths, qualities);
  Ground ground{std::move(depths), std::move(qualities), std::move(donors), {}, 1, {}, options, {}};
  std::vector<MetricPoint> positions;
  for (const std::size_t row : rows) {
    positions.push_back(network.gauges[row].position);
    ground.bucket_mm.push_back(network.gauges[row].bucket_mm);
  }
  ground.around.resize(rows.size());
  parallel_for(rows.size(), options.threads, [&](std::size_t g) {
    ground.around[g] = fill_internal::neighbourhood(g, positions, ground.donors, ground.steps(),
                                                    options.neighbours);
  });
  ground.hour_steps = hour_steps(ground.depths.axis());
  ground.reach = learn_reach(ground, positions);
  return ground;
}

std::vector<GaugeEvidence> evidence_by_row(const RainRecord& rain, std::span<const HeldBack> held,
                                           std::size_t gauges) {
  std::vector<GaugeEvidence> evidence(gauges);
  for (std::size_t i = 0; i < rain.totals.size(); ++i) {
    const AccumulatedTotal& total = rain.totals[i];
    evidence[total.gauge].totals.push_back({i, total.over, total.depth_mm});
  }
  for (const HeldBack& spell : held) evidence[spell.gauge].held.push_back(spell.over);
  return evidence;
}

void put_row(FillResult& result, std::size_t row, const FilledRow& filled) {
  SeriesRecord& record = result.record;
  const std::size_t steps = record.observed.step_count();
  for (std::size_t s = 0; s < steps; ++s) {
    if (filled.quality[s] == Quality::estimate) record.depth.set(row, s, filled.depth_mm[s]);
    record.quality.at(row, s) = filled.quality[s];
    // What was measured keeps the counter that it came from.
    if (filled.origin[s] != Origin::measured) record.origin[row * steps + s] = filled.origin[s];
  }
  const auto at = static_cast<std::ptrdiff_t>(row * steps);
  std::copy(filled.low_mm.begin(), filled.low_mm.end(), record.low_mm.begin() + at);
  std::copy(filled.high_mm.begin(), filled.high_mm.end(), record.high_mm.begin() + at);
  std::copy(filled.standard_error_mm.begin(), filled.standard_error_mm.end(),
            record.standard_error_mm.begin() + at);
  for (const SpreadTotal& total : filled.totals) result.totals[total.total] = total;
  result.gauges[row] = filled.report;
}

void fill_rows(const Ground& ground, const fill_internal::Learned& learned,
               const fill_internal::LearnedErrors& errors, std::span<const std::size_t> rows,
               std::span<const GaugeEvidence> evidence, FillResult& result) {
  const fill_internal::ScaledRain scaled =
      fill_internal::scaled_rain(ground.depths, learned.ratios);
  std::vector<std::vector<RefusedSpan>> refusals(rows.size());
  std::vector<std::vector<RecoveredWater>> recovered(rows.size());
  parallel_for(rows.size(), ground.options.threads, [&](std::size_t g) {
    FilledRow filled = fill_gauge(ground, learned, errors, scaled, g, evidence[rows[g]]);
    put_row(result, rows[g], filled);
    for (RefusedSpan& span : filled.refusals) span.gauge = rows[g];
    refusals[rows[g]] = std::move(filled.refusals);
    for (RecoveredWater& water : filled.recovered) water.gauge = rows[g];
    recovered[rows[g]] = std::move(filled.recovered);
  });
  for (const auto& spans : refusals)
    result.refusals.insert(result.refusals.end(), spans.begin(), spans.end());
  for (const auto& waters : recovered)
    result.recovered.insert(result.recovered.end(), waters.begin(), waters.end());
}

}  // namespace

FillResult fill_gaps(const Network& network, const RainRecord& rain, const QualityTable& quality,
                     const FillOptions& options, std::span<const HeldBack> held) {
  require_matching(network, rain, quality, options);
  const std::vector<std::size_t> rows = fill_internal::rows_by_id(network);
  const Ground ground = lay_ground(network, rain, quality, rows, options);
  const fill_internal::Learned learned = fill_internal::learn_plan(ground);
  fill_internal::LearnedErrors errors;
  if (learned.plan.learned) errors = fill_internal::learn_errors(ground, learned);
  FillResult result;
  result.record = unchecked_record(rain);
  make_room_for_bounds(result.record);
  result.gauges.resize(network.size());
  result.totals.resize(rain.totals.size());
  for (std::size_t i = 0; i < result.totals.size(); ++i) result.totals[i].total = i;
  result.plan = learned.plan;
  result.plan.hourly_coverage = errors.hourly_coverage;
  result.plan.daily_coverage = errors.daily_coverage;
  fill_rows(ground, learned, errors, rows, evidence_by_row(rain, held, network.size()), result);
  result.errors = std::move(errors.durations);
  return result;
}

}  // namespace gaugeloom
