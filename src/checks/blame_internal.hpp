#pragma once
// Who is left out of its neighbours' estimates, round by round.

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

// The hours to leave out in the next round. What was left out and is still suspected stays out; of
// the newly suspected, the heaviest (ties by gauge id, then time) are taken, but none that overlaps
// in time a heavier new one of its neighbourhood: it may be an echo of that one. Who is no longer
// suspected is admitted again.
Exclusions next_exclusions(const Network& network, const Neighbourhoods& around,
                           const Exclusions& before, std::vector<Suspicion> suspicions);

}  // namespace gaugeloom
