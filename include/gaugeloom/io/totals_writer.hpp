#pragma once
// totals.csv: rain per gauge and day, month and year, and other periods asked for.

#include <span>

#include "gaugeloom/fill/reporting_totals.hpp"
#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/rain/gauge.hpp"

namespace gaugeloom {

// Columns: gauge,period,from,to,total_mm,low_mm,high_mm,share_missing,share_estimated. Depths have
// three decimals, shares four; NaN is an empty field. A window is called by its length, like 6h.
// Rows in the order of `totals`. Throws: Error{io_failure} naming the file. The caller commits
// `file`.
void write_totals(AtomicFile& file, std::span<const ReportingTotal> totals, const Network& network);

}  // namespace gaugeloom
