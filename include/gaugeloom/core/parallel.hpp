#pragma once
// Work shared between threads so that the result does not depend on their number: the caller
// chooses pieces that do not depend on the thread count, and each piece writes only its own part.

#include <cstddef>
#include <functional>

namespace gaugeloom {

// The number of threads meant by `threads`: itself, or all cores for 0.
int thread_count(int threads) noexcept;

// Calls piece(i) for i in 0 .. pieces-1, on `threads` threads (0 = all cores), each i once. Pieces
// are handed out in rising order. The first exception (by lowest i) is thrown again here, after
// every running piece has ended; pieces not yet begun are then left out.
void parallel_for(std::size_t pieces, int threads, const std::function<void(std::size_t)>& piece);

}  // namespace gaugeloom
