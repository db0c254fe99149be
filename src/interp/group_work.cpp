#include "interp/group_work_internal.hpp"

#include <bit>
#include <limits>
#include <utility>

#include "gaugeloom/core/hash.hpp"

namespace gaugeloom {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr std::uint32_t kEmptySlot = ~std::uint32_t{0};
// Below so many steps per word, their bits are gathered one by one instead of transposing them all.
constexpr int kFewSteps = 6;
constexpr std::size_t kOthersAtFirst = 128;  // listed at first by a search beyond the table

std::uint16_t as_count(std::size_t count) {
  return static_cast<std::uint16_t>(std::min<std::size_t>(count, 65535));
}

}  // namespace

GroupWork::GroupWork(const RecordTask& task)
    : task_(task), state_(task.state), growth_(task.state, task.level) {}

void GroupWork::run(std::size_t group) {
  const std::size_t used = std::min(kLanes, state_.points.size() - group * kLanes);
  for (std::size_t lane = 0; lane < used; ++lane) {
    lanes_[lane].place = state_.place_in(group, lane);
    lanes_[lane].point = state_.order[lanes_[lane].place];
    collect(lanes_[lane]);
  }
  for (std::size_t lane = used; lane < kLanes; ++lane) lanes_[lane].sets.clear();
  solve_sets(group);
  for (std::size_t lane = 0; lane < used; ++lane) {
    evaluate(lanes_[lane]);
    if (!lanes_[lane].wide_steps.empty()) evaluate_wide(lanes_[lane]);
  }
}

// --- which sets there are ---

void GroupWork::collect(PointSteps& point) {
  point.any_full = false;
  point.sets.clear();
  point.weights.clear();
  point.weight_columns.clear();
  point.steps.clear();
  point.wide_steps.clear();
  const bool tabulated = state_.tabulated();
  const auto neighbours = state_.table.neighbours(point.place);
  full_steps_.resize(task_.available.words);
  std::size_t odd_steps = task_.steps;
  for (std::size_t word = 0; word < full_steps_.size(); ++word) {
    std::uint64_t full = tabulated ? lowest_bits(task_.steps - 64 * word) : 0;
    for (std::size_t j = 0; j < state_.wanted && full != 0; ++j)
      full &= task_.available.row(neighbours[j])[word];
    full_steps_[word] = full;
    odd_steps -= static_cast<std::size_t>(std::popcount(full));
  }
  point.any_full = odd_steps < task_.steps;
  slot_mask_ = std::bit_ceil(2 * (odd_steps + 2)) - 1;
  if (slots_.size() <= slot_mask_) slots_.resize(slot_mask_ + 1);
  std::fill_n(slots_.begin(), slot_mask_ + 1, kEmptySlot);
  if (tabulated) find_set(point, lowest_bits(state_.wanted));
  for (std::size_t word = 0; word < full_steps_.size() && odd_steps > 0; ++word) {
    const std::uint64_t odd = lowest_bits(task_.steps - 64 * word) & ~full_steps_[word];
    if (odd != 0) collect_word(point, word, odd);
  }
}

void GroupWork::collect_word(PointSteps& point, std::size_t word, std::uint64_t odd_steps) {
  const auto neighbours = state_.table.neighbours(point.place);
  std::array<std::uint64_t, 64> by_step{};
  if (std::popcount(odd_steps) <= kFewSteps) {
    for (std::uint64_t rest = odd_steps; rest != 0; rest &= rest - 1) {
      const auto step = static_cast<std::size_t>(std::countr_zero(rest));
      for (std::size_t j = 0; j < neighbours.size(); ++j)
        by_step[step] |= ((task_.available.row(neighbours[j])[word] >> step) & 1U) << j;
    }
  } else {
    for (std::size_t j = 0; j < neighbours.size(); ++j)
      by_step[j] = task_.available.row(neighbours[j])[word];
    transpose_bits(by_step.data());
  }
  for (std::uint64_t rest = odd_steps; rest != 0; rest &= rest - 1) {
    const auto step = static_cast<std::size_t>(std::countr_zero(rest));
    add_step(point, 64 * word + step, by_step[step]);
  }
}

void GroupWork::add_step(PointSteps& point, std::size_t step, std::uint64_t available) {
  const std::uint64_t chosen = first_set_bits(available, state_.wanted);
  const auto step32 = static_cast<std::uint32_t>(step);
  if (!state_.table.whole && static_cast<std::size_t>(std::popcount(chosen)) < state_.wanted) {
    point.wide_steps.push_back(step32);
  } else {
    point.steps.push_back({step32, find_set(point, chosen)});
  }
}

std::uint32_t GroupWork::find_set(PointSteps& point, std::uint64_t columns) {
  std::size_t slot = mix_bits(columns) & slot_mask_;
  while (slots_[slot] != kEmptySlot) {
    if (point.sets[slots_[slot]].columns == columns) return slots_[slot];
    slot = (slot + 1) & slot_mask_;
  }
  NeighbourSet set;
  set.columns = columns;
  set.count = static_cast<std::size_t>(std::popcount(columns));
  set.prefix = set.count < state_.wanted ? state_.table.columns
                                         : static_cast<std::size_t>(std::bit_width(columns));
  set.first_weight = point.weights.size();
  point.weights.resize(point.weights.size() + set.count);
  for (std::uint64_t rest = columns; rest != 0; rest &= rest - 1)
    point.weight_columns.push_back(static_cast<std::uint8_t>(std::countr_zero(rest)));
  slots_[slot] = static_cast<std::uint32_t>(point.sets.size());
  point.sets.push_back(set);
  return slots_[slot];
}

// --- their weights ---

void GroupWork::solve_sets(std::size_t group) {
  if (!state_.kriging()) {
    for (auto& lane : lanes_)
      for (NeighbourSet& set : lane.sets) solve_plainly(lane, set);
    return;
  }
  if (!state_.tabulated()) return;
  growth_.restart(group);
  std::size_t longest = 0;
  for (const auto& lane : lanes_)
    for (const NeighbourSet& set : lane.sets) longest = std::max(longest, set.prefix);
  for (std::size_t prefix = state_.wanted; prefix <= longest; ++prefix) {
    const LaneSystem& system = growth_.grow_to(prefix);
    for (std::size_t lane = 0; lane < kLanes; ++lane)
      for (NeighbourSet& set : lanes_[lane].sets)
        if (set.prefix == prefix) solve_set(lane, set, &system);
  }
}

void GroupWork::solve_set(std::size_t lane, NeighbourSet& set, const LaneSystem* system) {
  PointSteps& point = lanes_[lane];
  if (set.count < 3 || !growth_.reliable(lane, set.prefix) || !update(lane, set, *system)) {
    solve_plainly(point, set);
    return;
  }
  if (state_.options.negative_weights == NegativeWeights::keep) return;
  const std::span<double> weights(point.weights.data() + set.first_weight, set.count);
  if (std::all_of(weights.begin(), weights.end(), [](double w) { return w >= 0; })) return;
  neighbours_.clear();
  const auto table = state_.table.neighbours(point.place);
  for (std::size_t i = 0; i < set.count; ++i)
    neighbours_.push_back(table[point.weight_columns[set.first_weight + i]]);
  plain_.drop_negative(state_.rules(), state_.points[point.point], neighbours_, weights,
                       set.variance);
}

// Takes the columns that are not in the set out of the system (see lane_growth_internal.hpp).
bool GroupWork::update(std::size_t lane, NeighbourSet& set, const LaneSystem& system) {
  removed_.clear();
  for (std::uint64_t rest = lowest_bits(set.prefix) & ~set.columns; rest != 0; rest &= rest - 1)
    removed_.push_back(static_cast<std::size_t>(std::countr_zero(rest)) + 1);
  if (!solve_removed(lane, system)) return false;
  PointSteps& point = lanes_[lane];
  double* weights = point.weights.data() + set.first_weight;
  const std::uint8_t* columns = point.weight_columns.data() + set.first_weight;
  for (std::size_t i = 0; i < set.count; ++i) {
    const std::size_t unknown = columns[i] + std::size_t{1};
    double weight = system.target[unknown][lane];
    for (std::size_t r = 0; r < removed_.size(); ++r) {
      const auto [low, high] = std::minmax(unknown, removed_[r]);
      weight -= system.at(high, low)[lane] * removed_solution_[r];
    }
    weights[i] = weight;
  }
  set.variance = system.variance[lane];
  for (std::size_t r = 0; r < removed_.size(); ++r)
    set.variance += system.target[removed_[r]][lane] * removed_solution_[r];
  return true;
}

// Solves B_MM g = x_M by LDL'. False when too many digits would be lost.
bool GroupWork::solve_removed(std::size_t lane, const LaneSystem& system) {
  const std::size_t count = removed_.size();
  removed_matrix_.resize(count * count);
  removed_solution_.resize(count);
  double* matrix = removed_matrix_.data();
  double* solution = removed_solution_.data();
  for (std::size_t i = 0; i < count; ++i) {
    double* row = matrix + i * count;
    double value = system.target[removed_[i]][lane];
    for (std::size_t j = 0; j <= i; ++j) {
      row[j] = system.at(removed_[i], removed_[j])[lane];
      for (std::size_t l = 0; l < j; ++l)
        row[j] -= row[l] * matrix[j * count + l] * matrix[l * count + l];
      if (j < i) row[j] /= matrix[j * count + j];
    }
    if (!(row[i] > kReliableShare * system.at(removed_[i], removed_[i])[lane])) return false;
    for (std::size_t l = 0; l < i; ++l) value -= row[l] * solution[l];
    solution[i] = value;
  }
  for (std::size_t i = count; i-- > 0;) {
    solution[i] /= matrix[i * count + i];
    for (std::size_t l = i + 1; l < count; ++l) solution[i] -= matrix[l * count + i] * solution[l];
  }
  return true;
}

void GroupWork::solve_plainly(PointSteps& point, NeighbourSet& set) {
  if (set.count == 0) return;
  const auto table = state_.table.neighbours(point.place);
  neighbours_.clear();
  for (std::size_t i = 0; i < set.count; ++i)
    neighbours_.push_back(table[point.weight_columns[set.first_weight + i]]);
  const std::span<double> weights(point.weights.data() + set.first_weight, set.count);
  if (!plain_.solve(state_.rules(), state_.points[point.point], neighbours_, weights, set.variance))
    set.count = 0;
}

// --- their estimates ---

void GroupWork::evaluate(const PointSteps& point) {
  const std::size_t first = point.point * task_.steps;
  double* estimate = task_.out.estimate.data() + first;
  double* variance = task_.out.variance.data() + first;
  std::uint16_t* neighbours = task_.out.neighbours.data() + first;
  rows_.clear();
  for (const std::uint32_t neighbour : state_.table.neighbours(point.place))
    rows_.push_back(task_.row(neighbour));
  if (point.any_full) {
    const NeighbourSet& full = point.sets[0];
    if (full.count > 0) {
      weighted_rows(task_.level, rows_.data(), point.weights.data(), full.count, task_.steps,
                    estimate);
    } else {
      std::fill_n(estimate, task_.steps, kNaN);
    }
    std::fill_n(variance, task_.steps, full.count > 0 ? full.variance : kNaN);
    std::fill_n(neighbours, task_.steps, as_count(full.count));
  }
  for (const StepSet& step : point.steps) {
    const NeighbourSet& set = point.sets[step.set];
    const double* weights = point.weights.data() + set.first_weight;
    const std::uint8_t* columns = point.weight_columns.data() + set.first_weight;
    double sum = 0;
    for (std::size_t i = 0; i < set.count; ++i)
      sum += static_cast<double>(rows_[columns[i]][step.step]) * weights[i];
    estimate[step.step] = set.count > 0 ? sum : kNaN;
    variance[step.step] = set.count > 0 ? set.variance : kNaN;
    neighbours[step.step] = as_count(set.count);
  }
}

void GroupWork::list_others(std::size_t point, std::size_t count) {
  others_.clear();
  others_point_ = point;
  for (const Neighbour& found : state_.index->nearest(state_.points[point], count + 1))
    if (found.index != point) others_.push_back(found.index);
}

const WideSet& GroupWork::wide_set(std::size_t point, std::size_t step) {
  const std::size_t all = state_.points.size() - 1;
  if (others_.empty() || others_point_ != point)
    list_others(point, std::min(all, kOthersAtFirst + 2 * state_.wanted));
  neighbours_.clear();
  for (std::size_t i = 0; neighbours_.size() < state_.wanted; ++i) {
    if (i >= others_.size() && i < all) list_others(point, std::min(all, 4 * others_.size()));
    if (i >= others_.size()) break;
    if (task_.available.test(others_[i], step)) neighbours_.push_back(others_[i]);
  }
  const auto [found, is_new] = wide_sets_.try_emplace(neighbours_);
  WideSet& set = found->second;
  if (!is_new) return set;
  set.neighbours = neighbours_;
  set.weights.resize(neighbours_.size());
  set.variance = kNaN;
  if (!neighbours_.empty() &&
      !plain_.solve(state_.rules(), state_.points[point], neighbours_, set.weights, set.variance))
    set.neighbours.clear();
  return set;
}

void GroupWork::evaluate_wide(const PointSteps& point) {
  wide_sets_.clear();
  for (const std::uint32_t step : point.wide_steps) {
    const WideSet& set = wide_set(point.point, step);
    double sum = 0;
    for (std::size_t i = 0; i < set.neighbours.size(); ++i)
      sum += static_cast<double>(task_.row(set.neighbours[i])[step]) * set.weights[i];
    const std::size_t at = point.point * task_.steps + step;
    const bool ok = !set.neighbours.empty();
    task_.out.estimate[at] = ok ? sum : kNaN;
    task_.out.variance[at] = ok ? set.variance : kNaN;
    task_.out.neighbours[at] = as_count(set.neighbours.size());
  }
}

}  // namespace gaugeloom
