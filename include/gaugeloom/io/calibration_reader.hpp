#pragma once
// Reads the calibrations of gauges: CSV `gauge,intensity_mm_h,factor`, one row per point
// (io/small_table_reader.hpp).

#include <map>
#include <string>

#include "gaugeloom/core/notices.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/tips/calibration_table.hpp"

namespace gaugeloom {

// By row of the network; the points of a gauge in any order. Rows of gauges that are not in the
// network are left out with one notice of their number.
// Throws: as read_small_table; Error{malformed_input} for an intensity below 0, or a factor outside
//         0.5 to 2 (gauges in the field needed 0.8 to 1.5: G. Vasvari, Atmos. Res. 77 (2005));
//         Error{inconsistent_input} for two rows of one gauge and intensity, and with `strict` for
//         a gauge that is not in the network.
std::map<std::size_t, CalibrationTable> read_calibrations(const std::string& path,
                                                          const Network& network, bool strict,
                                                          Notices& notices);

}  // namespace gaugeloom
