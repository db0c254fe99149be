#include "gaugeloom/storms/storm_gauges.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/fill/reporting_totals.hpp"
#include "gaugeloom/storms/rain_map.hpp"

namespace gaugeloom {
namespace {

constexpr double kNormal90 = 1.6448536269514722;  // 95 % quantile of the standard normal law

double root_of_squares(double a, double b) { return std::sqrt(a * a + b * b); }

// From the most to the least trusted.
constexpr std::array<Quality, 6> kByTrust = {Quality::good,     Quality::unchecked,
                                             Quality::estimate, Quality::suspect,
                                             Quality::poor,     Quality::missing};

Quality least_trusted(const QualityTable& table, std::size_t gauge, StepAxis::Range steps) {
  std::array<bool, kByTrust.size()> seen{};
  for (std::size_t step = steps.first; step < steps.last; ++step)
    seen[static_cast<std::size_t>(table.at(gauge, step))] = true;
  Quality least = Quality::good;
  for (const Quality quality : kByTrust)
    if (seen[static_cast<std::size_t>(quality)]) least = quality;
  return least;
}

std::optional<Interval> wet_interval(const RainTable& depth, std::size_t gauge,
                                     StepAxis::Range steps) {
  std::optional<Interval> wet;
  for (std::size_t step = steps.first; step < steps.last; ++step) {
    if (!(depth.depth_mm(gauge, step) > 0)) continue;
    if (!wet) wet = depth.axis().interval(step);
    wet->to = depth.axis().end(step);
  }
  return wet;
}

void set_errors(StormGauge& row, const Gauge& gauge, const ReportingTotal& total) {
  row.fill_error_mm = total.standard_error_mm;
  if (row.share_filled < 1)
    row.gauge_error_mm =
        gauge_standard_error_mm(total.measured_mm, gauge.bucket_mm, gauge.accuracy_percent);
  row.standard_error_mm = root_of_squares(row.gauge_error_mm, row.fill_error_mm);
  if (row.total_mm != row.total_mm) return;
  const double reach = kNormal90 * row.gauge_error_mm;
  row.low_mm = std::max(0.0, row.total_mm - root_of_squares(reach, row.total_mm - total.low_mm));
  row.high_mm = row.total_mm + root_of_squares(reach, total.high_mm - row.total_mm);
}

StormGauge row_of(const Network& network, const SeriesRecord& record, const DurationErrors& errors,
                  const Storm& storm, std::size_t index, std::size_t gauge) {
  const ReportingTotal total = total_over(record, errors, gauge, storm.steps);
  StormGauge row;
  row.storm = index;
  row.gauge = gauge;
  row.total_mm = total.depth_mm;
  row.low_mm = total.low_mm;
  row.high_mm = total.high_mm;
  row.share_filled = total.share_estimated;
  row.share_missing = total.share_missing;
  row.quality = least_trusted(record.quality, gauge, storm.steps);
  row.wet = wet_interval(record.depth, gauge, storm.steps);
  set_errors(row, network.gauges[gauge], total);
  row.peaks_mm = peak_depths(
      record.depth.row(gauge).subspan(storm.steps.first, storm.steps.last - storm.steps.first),
      record.depth.axis().step());
  return row;
}

}  // namespace

std::vector<StormGauge> storm_gauges(const Network& network, const SeriesRecord& record,
                                     const DurationErrors& errors, std::span<const Storm> storms,
                                     int threads) {
  const std::size_t gauges = network.size();
  std::vector<StormGauge> rows(storms.size() * gauges);
  parallel_for(gauges, threads, [&](std::size_t gauge) {
    for (std::size_t s = 0; s < storms.size(); ++s)
      rows[s * gauges + gauge] = row_of(network, record, errors, storms[s], s, gauge);
  });
  return rows;
}

}  // namespace gaugeloom
