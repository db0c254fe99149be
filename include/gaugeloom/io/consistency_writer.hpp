#pragma once
// consistency.csv: every storm and every month of every gauge beside what a healthy gauge would
// have read there.

#include <span>

#include "gaugeloom/checks/consistency.hpp"
#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/rain/gauge.hpp"

namespace gaugeloom {

// Columns: gauge,window,from,to,observed_mm,expected_mm,low_mm,high_mm,p_low,p_high,neighbours,
// share_measured,combined_p,driven_by. Depths have three decimals, probabilities six, the share
// two. Rows in the order given. Throws: Error{io_failure}. The caller commits `file`.
void write_consistency(AtomicFile& file, std::span<const ConsistencyRow> rows,
                       const Network& network);

}  // namespace gaugeloom
