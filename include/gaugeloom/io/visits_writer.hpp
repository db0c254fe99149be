#pragma once
// visits.csv: the sheet a technician takes along.

#include <span>

#include "gaugeloom/checks/visit_order.hpp"
#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/rain/gauge.hpp"

namespace gaugeloom {

// Columns: rank,gauge,name,lon,lat,x_m,y_m,finding,tier,since,until,called,fault_probability,
// at_stake_mm,isolation,why,look_first,caution. One row per visit, in the order given; lon and lat
// (degrees, six decimals) are empty in a local CRS, until while it lasts. Depths have three
// decimals, the others two; `why` is visit_reason().
// Requires: visit.finding is a row of `findings`. Throws: Error{io_failure}. The caller commits
// `file`.
void write_visits(AtomicFile& file, std::span<const Visit> visits,
                  std::span<const Finding> findings, const Network& network);

}  // namespace gaugeloom
