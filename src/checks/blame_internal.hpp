#pragma once
// Who is left out of its neighbours' estimates, round by round.

#include <span>
#include <vector>

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

// A finding as blame sees it.
struct Suspicion {
  std::size_t gauge = 0;
  std::size_t first_hour = 0;  // [first, last)
  std::size_t last_hour = 0;
  double weight = 0;  // score over the level of its check
};

struct HourSpan {
  std::size_t gauge = 0;
  std::size_t first_hour = 0;  // [first, last)
  std::size_t last_hour = 0;
};

// The hours to leave out in the next round. What was left out and is still suspected stays out; of
// the newly suspected, the heaviest (ties by gauge id, then time) are taken, but none that overlaps
// in time a heavier new one of its neighbourhood: it may be an echo of that one. Who is no longer
// suspected is admitted again. Hours of `right` are never left out, and a suspicion of which they
// are more than half is none: it makes no echo of others either.
Exclusions next_exclusions(const Network& network, const Neighbourhoods& around,
                           const Exclusions& before, std::vector<Suspicion> suspicions,
                           std::span<const HourSpan> right = {});

}  // namespace gaugeloom
