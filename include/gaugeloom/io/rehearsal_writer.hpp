#pragma once
// rehearsal.csv, rehearsal_gauges.csv, rehearsal_fill.csv: what a rehearsal says.

#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rehearse/rehearsal_table.hpp"

namespace gaugeloom {

// Columns:
// fault,size,planted,telling,found,confirmed,named_right,called_as,before_5mm,before_10mm,median_mm,
// p90_mm,median_onset_error_mm,median_storms,p90_storms,shift_right,dry_sum_before_10mm,
// dry_sum_median_mm,residual_before_10mm,residual_median_mm,calls,calls_gone,gauge_years,
// calls_per_gauge_year,low_per_gauge_year,high_per_gauge_year.
// The first two rows are the record as it was read: fault "none", size "any tier" or "confirmed",
// with its calls. In the rows of faults the calls are those on neighbours, more and gone than
// without the fault. Shares and rates have four decimals, depths three, storms none; what is NaN or
// endless is empty. low and high are the exact 95 % Poisson interval.
// Throws: Error{io_failure} naming the file. The caller commits `file`.
void write_rehearsal(AtomicFile& file, const Rehearsal& rehearsal, std::chrono::seconds step);

// Columns: gauge,name,blocks,telling,before_5mm,before_10mm,median_mm,calls,confirmed_calls,
// gauge_years. Rows in the order of the network. Throws as above.
void write_rehearsal_gauges(AtomicFile& file, const Rehearsal& rehearsal, const Network& network);

// Columns:
// window,hours,windows,rmse_mm,rmse_nearest_mm,rmse_normal_ratio_mm,rmse_idw_mm,crps_mm,mae_mm,
// mae_nearest_mm,mae_normal_ratio_mm,mae_idw_mm,wet_windows,coverage,below,above,heavy_windows,
// heavy_coverage,heavy_below,heavy_above: one row per kind of window (fill_score.hpp). Empty where
// there was no window. Throws as above.
void write_rehearsal_fill(AtomicFile& file, const FillScore& score);

}  // namespace gaugeloom
