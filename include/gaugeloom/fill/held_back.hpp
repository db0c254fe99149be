#pragma once
// Water that was read late, but measured: what a blocked funnel held and then let go, or the total
// of an outage in the first reading after it.

#include <cstddef>
#include <span>
#include <vector>

#include "gaugeloom/rain/finding.hpp"
#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

struct HeldBack {
  std::size_t gauge = 0;
  Interval over;  // from the beginning of the spell to the end of the burst
};

// The blocked and partly blocked spells that ended in a release burst: a burst belongs to the
// spells of its gauge that began before it and ended, if they did, at most 48 h before it. A burst
// that lasts more than an hour is the total of an outage, with which it began. Spells that touch
// are one. By gauge, then by time.
std::vector<HeldBack> held_back(std::span<const Finding> findings);

}  // namespace gaugeloom
