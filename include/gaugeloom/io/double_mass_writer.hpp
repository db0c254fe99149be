#pragma once
// double_mass.csv: the double-mass curves of all gauges, for a plot.

#include <span>

#include "gaugeloom/checks/check_network.hpp"
#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/rain/gauge.hpp"

namespace gaugeloom {

// Columns: gauge,time,own_mm,neighbours_mm; depths summed up from the beginning of the record, with
// three decimals. Rows in the order of `points`. Throws: Error{io_failure}. The caller commits
// `file`.
void write_double_mass(AtomicFile& file, std::span<const GaugeDoubleMass> points,
                       const Network& network);

}  // namespace gaugeloom
