#pragma once
// Sets up and enlarges the systems of eight points, neighbour by neighbour in the order of the
// table.

#include <cstddef>
#include <vector>

#include "interp/record_state_internal.hpp"

namespace gaugeloom {

// Growths kept per group beside the base: our choice, 3 % missing values rarely ask for more.
inline constexpr std::size_t kKeptGrowths = 4;
// A neighbour whose variance given the nearer ones is below this share of the sill makes updates
// lose too many digits (our choice: 1e-16 / 1e-5 is well below 1e-9).
inline constexpr double kReliableShare = 1e-5;

class GroupGrowth {
 public:
  GroupGrowth(RecordState& state, VectorLevel level) : state_(state), level_(level) {}

  // The systems of a group with their first `state.wanted` neighbours; made once, then kept.
  const GroupSystems& prepare(std::size_t group);
  // Starts from the base of a prepared group, then grows to `neighbours` in all. Sizes must rise
  // from call to call.
  void restart(std::size_t group);
  const LaneSystem& grow_to(std::size_t neighbours);
  bool reliable(std::size_t lane, std::size_t neighbours) const {
    return neighbours < unreliable_from_[lane];
  }

 private:
  void find_next(const LaneSystem& system, LaneGrowth& growth);
  void note_reliability(std::size_t neighbours, const Lanes& spread,
                        std::array<std::size_t, kLanes>& unreliable_from) const;

  RecordState& state_;
  VectorLevel level_;
  std::size_t group_ = 0;
  const LaneSystem* current_ = nullptr;
  LaneSystem grown_;
  LaneGrowth next_;
  std::array<std::size_t, kLanes> unreliable_from_{};
  LaneVector to_others_;
};

}  // namespace gaugeloom
