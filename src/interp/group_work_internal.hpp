#pragma once
// The leave-one-out of eight points over the steps of one task: collects the distinct sets of
// neighbours, solves each once, and applies the weights to every step.

#include <array>
#include <cstddef>
#include <cstdint>
#include <map>
#include <vector>

#include "interp/group_growth_internal.hpp"

namespace gaugeloom {

// A set of neighbours of one point, as bits over the columns of the table.
struct NeighbourSet {
  std::uint64_t columns = 0;
  std::size_t count = 0;   // neighbours in it; 0 = no estimate (none, or a singular system)
  std::size_t prefix = 0;  // columns up to its last neighbour; all of them when it has too few
  std::size_t first_weight = 0;
  double variance = 0;
};

// Neighbours beyond the table.
struct WideSet {
  std::vector<std::size_t> neighbours;
  std::vector<double> weights;
  double variance = 0;
};

struct StepSet {
  std::uint32_t step;
  std::uint32_t set;
};

// The steps of one point. sets[0] is the full set: the nearest `wanted`.
struct PointSteps {
  std::size_t point = 0;
  std::size_t place = 0;  // in the space-filling order
  bool any_full = false;
  std::vector<NeighbourSet> sets;
  std::vector<double> weights;
  std::vector<std::uint8_t> weight_columns;  // beside weights
  std::vector<StepSet> steps;                // those without the full set
  std::vector<std::uint32_t> wide_steps;     // those that need neighbours beyond the table
};

class GroupWork {
 public:
  explicit GroupWork(const RecordTask& task);
  void run(std::size_t group);

 private:
  void collect(PointSteps& point);
  void collect_word(PointSteps& point, std::size_t word, std::uint64_t odd_steps);
  void add_step(PointSteps& point, std::size_t step, std::uint64_t available);
  std::uint32_t find_set(PointSteps& point, std::uint64_t columns);
  void solve_sets(std::size_t group);
  void solve_set(std::size_t lane, NeighbourSet& set, const LaneSystem* system);
  bool update(std::size_t lane, NeighbourSet& set, const LaneSystem& system);
  bool solve_removed(std::size_t lane, const LaneSystem& system);
  void solve_plainly(PointSteps& point, NeighbourSet& set);
  void evaluate(const PointSteps& point);
  void evaluate_wide(const PointSteps& point);
  void list_others(std::size_t point, std::size_t count);
  const WideSet& wide_set(std::size_t point, std::size_t step);

  const RecordTask& task_;
  const RecordState& state_;
  GroupGrowth growth_;
  PlainSolver plain_;
  std::array<PointSteps, kLanes> lanes_;
  std::vector<std::uint32_t> slots_;  // hash table of one point's sets, and its size less 1
  std::size_t slot_mask_ = 0;
  std::vector<std::uint64_t> full_steps_;  // one bit per step
  std::vector<const float*> rows_;
  std::vector<std::size_t> removed_;  // unknowns taken out of a system
  std::vector<double> removed_matrix_;
  std::vector<double> removed_solution_;
  std::vector<std::size_t> neighbours_;
  std::vector<std::size_t> others_;  // some of the nearest others of others_point_, in order
  std::size_t others_point_ = 0;
  std::map<std::vector<std::size_t>, WideSet> wide_sets_;
};

}  // namespace gaugeloom
