#include "interp/group_growth_internal.hpp"

namespace gaugeloom {

// The covariances of neighbour number system.size - 1 (from 0) of every lane with the nearer ones.
void GroupGrowth::find_next(const LaneSystem& system, LaneGrowth& growth) {
  const std::size_t column = system.size - 1;
  to_others_.resize(system.size);
  to_others_[0] = 1.0 + Lanes{};
  const double sill = state_.variogram.sill();
  const WeightRules rules = state_.rules();
  alignas(kLaneAlignment) Lanes variance;
  alignas(kLaneAlignment) Lanes to_target;
  for (std::size_t lane = 0; lane < kLanes; ++lane) {
    const std::size_t place = state_.place_in(group_, lane);
    const auto neighbours = state_.table.neighbours(place);
    const MetricPoint& here = state_.points[neighbours[column]];
    for (std::size_t j = 0; j < column; ++j)
      to_others_[j + 1][lane] =
          pair_covariance(state_.variogram, distance_m(here, state_.points[neighbours[j]]));
    variance[lane] = sill + rules.noise(neighbours[column]);
    to_target[lane] = pair_covariance(state_.variogram, state_.table.distances(place)[column]);
  }
  find_growth(level_, system, to_others_.data(), variance, to_target, growth);
}

void GroupGrowth::note_reliability(std::size_t neighbours, const Lanes& spread,
                                   std::array<std::size_t, kLanes>& unreliable_from) const {
  const double least = kReliableShare * state_.variogram.sill();
  for (std::size_t lane = 0; lane < kLanes; ++lane) {
    if (!(spread[lane] > least))
      unreliable_from[lane] = std::min(unreliable_from[lane], neighbours);
  }
}

const GroupSystems& GroupGrowth::prepare(std::size_t group) {
  GroupSystems& systems = state_.groups[group];
  if (systems.ready) return systems;
  group_ = group;
  systems.unreliable_from.fill(state_.table.columns + 1);
  const double sill = state_.variogram.sill();
  alignas(kLaneAlignment) Lanes variance;
  alignas(kLaneAlignment) Lanes to_target;
  for (std::size_t lane = 0; lane < kLanes; ++lane) {
    const std::size_t place = state_.place_in(group, lane);
    variance[lane] = sill + state_.rules().noise(state_.table.neighbours(place)[0]);
    to_target[lane] = pair_covariance(state_.variogram, state_.table.distances(place)[0]);
  }
  LaneSystem& base = systems.base;
  base.reserve(state_.wanted + 1);
  alignas(kLaneAlignment) const Lanes target_variance = sill + Lanes{};
  begin_system(base, variance, to_target, target_variance);
  while (base.size < state_.wanted + 1) {
    find_next(base, next_);
    note_reliability(base.size, next_.spread, systems.unreliable_from);
    apply_growth(level_, base, next_);
  }
  systems.ready = true;
  return systems;
}

void GroupGrowth::restart(std::size_t group) {
  const GroupSystems& systems = prepare(group);
  group_ = group;
  current_ = &systems.base;
  unreliable_from_ = systems.unreliable_from;
}

const LaneSystem& GroupGrowth::grow_to(std::size_t neighbours) {
  GroupSystems& systems = state_.groups[group_];
  while (current_->size < neighbours + 1) {
    if (current_ != &grown_) {
      grown_.reserve(state_.table.columns + 1);
      grown_.size = systems.base.size;
      std::copy(systems.base.inverse.begin(), systems.base.inverse.end(), grown_.inverse.begin());
      std::copy(systems.base.target.begin(), systems.base.target.end(), grown_.target.begin());
      grown_.variance = systems.base.variance;
      current_ = &grown_;
    }
    const std::size_t step = grown_.size - systems.base.size;
    LaneGrowth* growth = &next_;
    if (step < kKeptGrowths) {
      if (step == systems.growths.size()) {
        systems.growths.emplace_back();
        find_next(grown_, systems.growths.back());
      }
      growth = &systems.growths[step];
    } else {
      find_next(grown_, next_);
    }
    note_reliability(grown_.size, growth->spread, unreliable_from_);
    apply_growth(level_, grown_, *growth);
  }
  return *current_;
}

}  // namespace gaugeloom
