#pragma once
// gauges.csv: one row per gauge.

#include <span>

#include "gaugeloom/checks/check_network.hpp"
#include "gaugeloom/checks/gauge_overview.hpp"
#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/rain/gauge.hpp"

namespace gaugeloom {

// Columns: gauge,name,observed_mm,expected_mm,total_mm,share_missing,share_estimated,
// share_testable,neighbours,site_ratio,confirmed,provisional,smallest_block_mm,
// smallest_step_percent,visit_rank,visit_reason. Depths have three decimals, shares and ratios
// four, percents one. Rows in the order of the network. `summaries` is empty where the network was
// not checked: its columns are then empty too. Requires: as many overviews as gauges. Throws:
// Error{io_failure}. The caller commits `file`.
void write_gauges(AtomicFile& file, const Network& network,
                  std::span<const GaugeOverview> overviews,
                  std::span<const GaugeSummary> summaries);

}  // namespace gaugeloom
