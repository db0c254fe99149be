#pragma once
// Blocked: not a tip while the neighbours are wet.
//
// W = sum of -log P(no rain | what the neighbours read) over the hours since the last good tip: the
// sequential likelihood ratio of a block against a working gauge, true local misses priced in
// (A. Wald, Sequential Analysis, Wiley 1947; the rates are learned, see expect/miss_law.hpp).
// Provisional as soon as W reaches its level; W counts 0.8 while one storm and fewer than 12
// telling hours are behind it. Confirmed when W, each storm counting at most 4 nats, reaches its
// own level over at least 2 storms. Storms are parted by 6 dry hours. A stray tip costs 3 nats and
// does not end the run; a tip of more than 1.5 buckets, or of 30 % of what was expected in that
// hour, ends it.

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

// Findings [end of the hour of the last good tip, begin of the hour of the next one), score = W at
// its peak. At least 2 mm must be missing. Levels are learned from the runs of the network.
CheckOutcome find_blocked(const CheckContext& context);

// Median depth that would have been expected, over storms begun at this gauge, before a full block
// reaches `level`; NaN when fewer than 3 of them reach it.
double smallest_block_mm(const CheckContext& context, std::size_t gauge, double level);

}  // namespace gaugeloom
