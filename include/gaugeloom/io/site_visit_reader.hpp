#pragma once
// Reads the log of visits: CSV `gauge,from,to,action,poured_ml,note`, one row each
// (io/small_table_reader.hpp).

#include <string>
#include <vector>

#include "gaugeloom/core/notices.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/site_visit.hpp"

namespace gaugeloom {

// Visits in the order of the file. [from, to) in UTC or with an offset; action is cleaned,
// calibrated, repaired or inspected; an empty poured_ml is no pour. The columns poured_ml and note
// may be absent. Rows of gauges that are not in the network are left out with one notice of their
// number.
// Throws: as read_small_table; Error{malformed_input} for an empty gauge, a time or a volume that
//         is none, or another action; Error{inconsistent_input} when `to` is not after `from`, and
//         with `strict` for a gauge that is not in the network.
std::vector<SiteVisit> read_site_visits(const std::string& path, const Network& network,
                                        bool strict, Notices& notices);

}  // namespace gaugeloom
