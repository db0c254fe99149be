#pragma once
// Reads the log of outages: CSV `gauge,from,to,cause`, one row each (io/small_table_reader.hpp).

#include <string>
#include <vector>

#include "gaugeloom/core/notices.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/outage.hpp"

namespace gaugeloom {

// Outages in the order of the file. [from, to) in UTC or with an offset; an empty `to` lasts
// without end; the column `cause` may be absent or empty. Rows of gauges that are not in the
// network are left out with one notice of their number.
// Throws: as read_small_table; Error{malformed_input} for an empty gauge or a time that is none;
//         Error{inconsistent_input} when `to` is not after `from`, and with `strict` for a gauge
//         that is not in the network.
std::vector<Outage> read_outages(const std::string& path, const Network& network, bool strict,
                                 Notices& notices);

}  // namespace gaugeloom
