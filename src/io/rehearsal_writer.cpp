#include "gaugeloom/io/rehearsal_writer.hpp"

#include <cmath>

#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/rehearse/poisson_interval.hpp"

namespace gaugeloom {
namespace {

constexpr int kBlankBeforeCalls = 19;  // columns between size and calls

CsvRows& known(CsvRows& row, double value, int decimals) {
  return std::isfinite(value) ? row.fixed(value, decimals) : row.empty();
}

void add_rate(CsvRows& row, std::size_t calls, double gauge_years) {
  row.fixed(gauge_years, 3);
  const RateInterval rate = poisson_interval(calls, gauge_years);
  for (const double value : {rate.rate, rate.low, rate.high}) row.fixed(value, 4);
  row.end_row();
}

void add_untouched(CsvWriter& csv, const char* tier, std::size_t calls, double gauge_years) {
  CsvRows& row = csv.row().raw("none").raw(tier);
  for (int i = 0; i < kBlankBeforeCalls; ++i) row.empty();
  row.integer(static_cast<long long>(calls)).empty();
  add_rate(row, calls, gauge_years);
}

void add_fault(CsvRows& row, const RehearsalRow& r) {
  row.raw(r.fault).raw(r.size);
  row.integer(static_cast<long long>(r.planted)).integer(static_cast<long long>(r.telling));
  for (const double share : {r.found, r.confirmed, r.named_right}) known(row, share, 4);
  row.raw(r.called_as);
  known(known(row, r.before_5_mm, 4), r.before_10_mm, 4);
  for (const double mm : {r.median_mm, r.p90_mm, r.median_onset_error_mm}) known(row, mm, 3);
  for (const double storms : {r.median_storms, r.p90_storms}) known(row, storms, 0);
  known(row, r.shift_right, 4);
  known(known(row, r.dry_sum_before_10_mm, 4), r.dry_sum_median_mm, 3);
  known(known(row, r.residual_before_10_mm, 4), r.residual_median_mm, 3);
  known(row, r.found_by_cusum, 4);
  row.integer(static_cast<long long>(r.neighbours.more));
  row.integer(static_cast<long long>(r.neighbours.fewer));
  add_rate(row, r.neighbours.more, r.neighbours.gauge_years);
}

}  // namespace

void write_rehearsal(AtomicFile& file, const Rehearsal& rehearsal, std::chrono::seconds step) {
  CsvWriter csv(file, {"fault",
                       "size",
                       "planted",
                       "telling",
                       "found",
                       "confirmed",
                       "named_right",
                       "called_as",
                       "before_5mm",
                       "before_10mm",
                       "median_mm",
                       "p90_mm",
                       "median_onset_error_mm",
                       "median_storms",
                       "p90_storms",
                       "shift_right",
                       "dry_sum_before_10mm",
                       "dry_sum_median_mm",
                       "residual_before_10mm",
                       "residual_median_mm",
                       "cusum_found",
                       "calls",
                       "calls_gone",
                       "gauge_years",
                       "calls_per_gauge_year",
                       "low_per_gauge_year",
                       "high_per_gauge_year"});
  const FalseCalls calls = false_calls(rehearsal);
  add_untouched(csv, "any tier", calls.any, calls.gauge_years);
  add_untouched(csv, "confirmed", calls.confirmed, calls.gauge_years);
  for (const RehearsalRow& row : rehearsal_rows(rehearsal, step)) add_fault(csv.row(), row);
  csv.finish();
}

void write_rehearsal_gauges(AtomicFile& file, const Rehearsal& rehearsal, const Network& network) {
  CsvWriter csv(file, {"gauge", "name", "blocks", "telling", "before_5mm", "before_10mm",
                       "median_mm", "calls", "confirmed_calls", "gauge_years"});
  const auto gauges = gauge_rehearsals(rehearsal);
  for (std::size_t i = 0; i < gauges.size(); ++i) {
    const GaugeRehearsal& g = gauges[i];
    CsvRows& row = csv.row().text(network.gauges[i].id).text(network.gauges[i].name);
    row.integer(static_cast<long long>(g.blocks)).integer(static_cast<long long>(g.telling));
    known(known(known(row, g.before_5_mm, 4), g.before_10_mm, 4), g.median_mm, 3);
    row.integer(static_cast<long long>(g.untouched.any));
    row.integer(static_cast<long long>(g.untouched.confirmed));
    row.fixed(g.untouched.gauge_years, 3).end_row();
  }
  csv.finish();
}

void write_rehearsal_fill(AtomicFile& file, const FillScore& score) {
  CsvWriter csv(file, {"window",
                       "hours",
                       "windows",
                       "rmse_mm",
                       "rmse_nearest_mm",
                       "rmse_normal_ratio_mm",
                       "rmse_idw_mm",
                       "crps_mm",
                       "mae_mm",
                       "mae_nearest_mm",
                       "mae_normal_ratio_mm",
                       "mae_idw_mm",
                       "wet_windows",
                       "coverage",
                       "below",
                       "above",
                       "heavy_windows",
                       "heavy_coverage",
                       "heavy_below",
                       "heavy_above"});
  for (const WindowScore& w : score.windows) {
    CsvRows& row = known(csv.row().raw(w.window), w.hours, 3);
    row.integer(static_cast<long long>(w.windows));
    for (const WayError* way : {&w.fill, &w.nearest, &w.normal_ratio, &w.inverse})
      known(row, way->rmse_mm, 4);
    known(row, w.crps_mm, 4);
    for (const WayError* way : {&w.fill, &w.nearest, &w.normal_ratio, &w.inverse})
      known(row, way->mae_mm, 4);
    for (const BandScore* band : {&w.wet, &w.heavy}) {
      row.integer(static_cast<long long>(band->windows));
      for (const double share : {band->coverage, band->below, band->above}) known(row, share, 4);
    }
    row.end_row();
  }
  csv.finish();
}

}  // namespace gaugeloom
