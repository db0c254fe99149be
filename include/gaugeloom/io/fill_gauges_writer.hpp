#pragma once
// fill_gauges.csv: what was filled at each gauge, how, and how far it can be trusted.

#include "gaugeloom/fill/fill_gaps.hpp"
#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/rain/gauge.hpp"

namespace gaugeloom {

// Columns: gauge,share_neighbours,share_total,share_refused,filled_mm,method,site_ratio,
// hourly_error_mm,skill,worst_gap_from,worst_gap_to,worst_gap_hours,recovered_mm. Shares are of all
// steps: estimated from the neighbours, laid from a measured total, asked for and refused. The
// method is that of the whole network. hourly_error_mm and skill are by leave-one-out, see
// GaugeFill. recovered_mm is water of release bursts that was put back. Depths have three decimals,
// shares and ratios four, hours two; what is unknown is empty. Rows in the order of the network.
// Throws: Error{io_failure}. The caller commits `file`.
void write_fill_gauges(AtomicFile& file, const FillResult& filled, const Network& network);

}  // namespace gaugeloom
