#pragma once
// Which row of a gauge holds for a record, when the gauge was moved or given another bucket.

#include <string>
#include <vector>

#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/rain_table.hpp"

namespace gaugeloom {

// Gives every gauge of network.histories the row whose period covers most of its measured depths
// (a tie: the later row; none covered: the last that opens before the record ends, else the first),
// with `opened` of its first row and `closed` of its last. A step belongs to the row that is open
// when it ends: opened < end <= closed.
//
// A gauge has one position and one bucket in a run: depths of a time when another row held are used
// as though the gauge had stood at the chosen place. That is sound only for small moves, so every
// such gauge is told, with the periods, how far they lie apart, and what to do.
//
// notices   a sentence for each of the first five gauges whose record spans a change, one for the
//           rest of them; one for depths of a time when the list says no gauge was open (before the
//           first row opens, between two rows, after the last closes), for gauges without a history
//           too
//
// Requires: depths.gauge_count() == network.size(). Cost: one pass over gauges that have dates.
void settle_histories(Network& network, const RainTable& depths, std::vector<std::string>& notices);

}  // namespace gaugeloom
