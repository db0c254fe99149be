#pragma once
// Which tips of the two counters of one bucket are the same turn of it.
// Source: the distance of two trains of events by J. D. Victor and K. P. Purpura, Nature and
// precision of temporal coding in visual cortex, J. Neurophysiology 76 (1996), from memory: what it
// costs to shift events onto each other, and to leave events over.

#include <cstddef>
#include <limits>
#include <span>
#include <vector>

#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

// The times at which a tip may have fallen, both ends included: one instant of a fine stamp, its
// second or minute of a coarse one.
struct TipCell {
  Instant from;
  Instant to;
};

// Two tips farther apart are not one turn (our choice: a logger that looks at its contacts once a
// second, and writes what it saw then, is a second late at most; two of them, two).
inline constexpr Duration kSameTurn = std::chrono::seconds(2);

// How far apart two cells lie; 0 where they touch.
Duration gap_between(const TipCell& a, const TipCell& b);

inline constexpr std::size_t kNoPartner = std::numeric_limits<std::size_t>::max();

// Each tip is matched (both counters saw the turn) or has no partner (one only).
struct TipMatching {
  std::vector<std::size_t> of_first;   // the index of its partner, or kNoPartner
  std::vector<std::size_t> of_second;  // the same from the other side
  std::size_t both() const;
};

// Matches tips whose cells lie at most `within` apart, by dynamic programming: the sum of the gaps
// of the matched, plus `within` for each tip left without a partner, is as small as it can be.
//   first, second   on one clock; `from` does not fall
// Laws (each one is a test): (1) partners are mutual; (2) of two matched tips the later one has the
//   later partner; (3) the sum is that of a search through all matchings; (4) swapping first and
//   second gives the same sum.
// A tip is compared with at most 1024 others, so that no number of tips in one stamp makes it slow.
// Cost: linear in the tips and in how many lie close to each other; a byte per such pair.
TipMatching match_tips(std::span<const TipCell> first, std::span<const TipCell> second,
                       Duration within = kSameTurn);

// How many pairs a plain pass finds that always takes the next two that fit: as many as there are.
// The second train is `ahead` of the first. Cost: linear, and a binary search in second.
std::size_t count_matches(std::span<const TipCell> first, std::span<const TipCell> second,
                          Duration ahead, Duration within = kSameTurn);

}  // namespace gaugeloom
