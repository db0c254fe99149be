#pragma once
// From staged entries to the record: the axis, the transposed table, the totals.

#include <span>
#include <string>

#include "gaugeloom/core/notices.hpp"
#include "io/rain_staging_internal.hpp"

namespace gaugeloom {

// `files` are the names of the files in the order they were staged.
// Throws: Error{inconsistent_input} for times off the step, totals that overlap, and with
//         options.strict depths beyond the world record.
RainRecord assemble_rain(RainStaging& staging, const GaugeIds& ids, const RainReadOptions& options,
                         std::span<const std::string> files, Notices& notices);

}  // namespace gaugeloom
