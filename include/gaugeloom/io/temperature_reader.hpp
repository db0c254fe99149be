#pragma once
// Reads air temperatures: CSV `time,gauge,celsius`, `*` for all gauges (io/small_table_reader.hpp).

#include <string>
#include <vector>

#include "gaugeloom/core/notices.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/temperature.hpp"

namespace gaugeloom {

// Readings in the order of the file; an empty celsius is no reading. Rows of gauges that are not in
// the network are left out with one notice of their number.
// Throws: as read_small_table; Error{malformed_input} for a time or a number that is none, and for
//         temperatures below -90 or above 60 degrees (beyond what was measured on Earth: -89.2 and
//         56.7, WMO Archive of Weather and Climate Extremes, from memory);
//         Error{inconsistent_input} with `strict` for a gauge that is not in the network.
std::vector<TemperatureReading> read_temperatures(const std::string& path, const Network& network,
                                                  bool strict, Notices& notices);

}  // namespace gaugeloom
