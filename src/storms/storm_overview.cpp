#include "gaugeloom/storms/storm_overview.hpp"

#include <limits>

namespace gaugeloom {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

void add_total(StormOverview& storm, const StormGauge& row, double& sum_mm) {
  if (row.total_mm != row.total_mm) return;
  ++storm.gauges;
  storm.wet += row.total_mm > 0 ? 1 : 0;
  sum_mm += row.total_mm;
  if (row.total_mm <= storm.max_mm) return;  // never so for the first: NaN
  storm.max_mm = row.total_mm;
  storm.max_gauge = row.gauge;
}

StormOverview overview_of(std::span<const StormGauge> rows) {
  StormOverview storm;
  storm.mean_mm = storm.max_mm = kNan;
  storm.peaks_mm.fill(kNan);
  double sum_mm = 0;
  for (const StormGauge& row : rows) {
    add_total(storm, row, sum_mm);
    storm.share_filled += row.share_filled / static_cast<double>(rows.size());
    storm.share_missing += row.share_missing / static_cast<double>(rows.size());
    for (std::size_t d = 0; d < storm.peaks_mm.size(); ++d)
      if (row.peaks_mm[d] == row.peaks_mm[d] && !(row.peaks_mm[d] <= storm.peaks_mm[d]))
        storm.peaks_mm[d] = row.peaks_mm[d];
  }
  if (storm.gauges > 0) storm.mean_mm = sum_mm / static_cast<double>(storm.gauges);
  return storm;
}

}  // namespace

std::vector<StormOverview> storm_overviews(std::span<const StormGauge> rows, std::size_t gauges) {
  std::vector<StormOverview> storms;
  for (std::size_t first = 0; first < rows.size(); first += gauges)
    storms.push_back(overview_of(rows.subspan(first, gauges)));
  return storms;
}

std::optional<std::size_t> wettest_storm(std::span<const StormOverview> overviews) {
  std::optional<std::size_t> wettest;
  for (std::size_t i = 0; i < overviews.size(); ++i) {
    const double mean_mm = overviews[i].mean_mm;
    if (mean_mm != mean_mm) continue;
    if (!wettest || mean_mm > overviews[*wettest].mean_mm) wettest = i;
  }
  return wettest;
}

}  // namespace gaugeloom
