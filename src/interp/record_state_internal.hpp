#pragma once
// What the leave-one-out over records keeps between calls.

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "gaugeloom/interp/record_leave_one_out.hpp"
#include "interp/availability_internal.hpp"
#include "interp/lane_growth_internal.hpp"
#include "interp/neighbour_table_internal.hpp"
#include "interp/plain_weights_internal.hpp"

namespace gaugeloom {

// Systems of eight points: solved for their first neighbours, and how they grow by a few more.
struct GroupSystems {
  bool ready = false;
  LaneSystem base;
  std::vector<LaneGrowth> growths;
  // Per lane the number of neighbours from which on the system is too near to singular for
  // updates; those sets are solved plainly.
  std::array<std::size_t, kLanes> unreliable_from{};
};

struct RecordState {
  std::vector<MetricPoint> points;
  std::optional<GaugeIndex> index;
  Variogram variogram;
  RecordLeaveOneOutOptions options;
  std::size_t wanted = 0;  // neighbours per estimate, at most points - 1
  NeighbourTable table;
  std::vector<std::uint32_t> order;
  std::vector<GroupSystems> groups;

  WeightRules rules() const { return {points, variogram, options}; }
  bool kriging() const { return options.method == InterpolationMethod::ordinary_kriging; }
  // Whether the full set of every point is in the table.
  bool tabulated() const { return wanted > 0 && table.columns >= wanted; }
  std::size_t group_count() const { return (points.size() + kLanes - 1) / kLanes; }
  // The last group repeats its last place.
  std::size_t place_in(std::size_t group, std::size_t lane) const {
    return std::min(group * kLanes + lane, points.size() - 1);
  }
};

// One call of run(), shared by all threads.
struct RecordTask {
  RecordState& state;
  const FieldRecord& record;
  const AvailabilityBits& available;
  std::size_t first_step;
  std::size_t steps;
  VectorLevel level;
  LeaveOneOutBlock& out;

  const float* row(std::size_t point) const {
    return record.values.data() + point * record.steps + first_step;
  }
};

}  // namespace gaugeloom
