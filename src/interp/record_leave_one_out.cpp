#include "gaugeloom/interp/record_leave_one_out.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "interp/global_leave_one_out_internal.hpp"
#include "interp/group_work_internal.hpp"
#include "interp/kriging_system_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kGroupsPerPiece = 16;        // of records
constexpr std::size_t kGroupsPerShortPiece = 256;  // of fewer steps than one word has
constexpr std::size_t kTableColumns = 40;          // for 16 neighbours and fewer
constexpr std::size_t kFewTableColumns = 16;       // for 4 and fewer
constexpr std::size_t kMostTableColumns = 64;      // one bit each in a word
constexpr std::size_t kMostTabulated = 40;         // neighbours wanted, when others exist beyond
constexpr std::size_t kBlockBytes = 24u << 20;     // of results held by leave_one_out_record

// 0 where the table cannot hold enough to be worth it.
std::size_t table_columns(std::size_t wanted, std::size_t others) {
  if (wanted <= 4) return std::min(others, kFewTableColumns);
  if (wanted <= 16) return std::min(others, kTableColumns);
  if (others <= kMostTableColumns) return others;
  return wanted <= kMostTabulated ? kMostTableColumns : 0;
}

}  // namespace

struct RecordLeaveOneOut::State : RecordState {
  std::optional<GlobalLeaveOneOut> global;  // every other point is a neighbour, and many are
};

std::optional<std::string> RecordLeaveOneOutOptions::problem() const {
  if (neighbours < 0)
    return "neighbours is " + std::to_string(neighbours) + "; give 1 or more, or 0 for all";
  if (!(power > 0 && power <= 100))
    return "power is " + std::to_string(power) + "; give more than 0, at most 100";
  for (const double noise : relative_noise)
    if (!(noise >= 0) || !std::isfinite(noise))
      return std::string("relative_noise has an entry that is negative or not finite");
  if (threads < 0) return "threads is " + std::to_string(threads) + "; give 0 or more";
  return std::nullopt;
}

RecordLeaveOneOut::RecordLeaveOneOut(std::span<const MetricPoint> points,
                                     const Variogram& variogram, RecordLeaveOneOutOptions options)
    : state_(std::make_unique<State>()) {
  if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
  const auto model_problem = variogram.problem();
  if (model_problem && options.method == InterpolationMethod::ordinary_kriging)
    throw Error(ErrorCode::invalid_option, *model_problem);
  GAUGELOOM_ASSERT(options.relative_noise.empty() ||
                   options.relative_noise.size() == points.size());
  state_->points.assign(points.begin(), points.end());
  state_->variogram = variogram;
  state_->options = std::move(options);
  const std::size_t others = points.empty() ? 0 : points.size() - 1;
  const auto asked = static_cast<std::size_t>(state_->options.neighbours);
  state_->wanted = asked == 0 ? others : std::min(asked, others);
  const int threads = state_->options.threads;
  state_->index.emplace(points);
  state_->order = space_filling_order(points);
  state_->table = neighbour_table(*state_->index, state_->order,
                                  table_columns(state_->wanted, others), threads);
  state_->groups.resize(state_->group_count());
  if (!state_->kriging() || state_->wanted < others || others <= kMostTableColumns) return;
  require_few_enough_for_all(points.size());
  state_->global.emplace(*state_);
  if (!state_->global->reliable()) state_->global.reset();
}

RecordLeaveOneOut::~RecordLeaveOneOut() = default;
RecordLeaveOneOut::RecordLeaveOneOut(RecordLeaveOneOut&&) noexcept = default;
RecordLeaveOneOut& RecordLeaveOneOut::operator=(RecordLeaveOneOut&&) noexcept = default;

void RecordLeaveOneOut::run(const FieldRecord& record, std::span<const std::uint64_t> usable_bits,
                            std::size_t first_step, std::size_t steps, LeaveOneOutBlock& out) {
  GAUGELOOM_ASSERT(record.points == state_->points.size());
  GAUGELOOM_ASSERT(record.values.size() == record.points * record.steps);
  GAUGELOOM_ASSERT(first_step + steps <= record.steps);
  out.points = record.points;
  out.steps = steps;
  out.estimate.resize(record.points * steps);
  out.variance.resize(record.points * steps);
  out.neighbours.resize(record.points * steps);
  if (record.points == 0 || steps == 0) return;
  const int threads = state_->options.threads;
  const AvailabilityBits available = availability(record, usable_bits, first_step, steps, threads);
  const RecordTask task{*state_, record, available, first_step, steps, vector_level(), out};
  if (state_->global) return state_->global->run(task);
  const std::size_t groups = state_->group_count();
  const std::size_t per_piece = steps < 64 ? kGroupsPerShortPiece : kGroupsPerPiece;
  const std::size_t pieces = (groups + per_piece - 1) / per_piece;
  parallel_for(pieces, threads, [&](std::size_t piece) {
    GroupWork work(task);
    const std::size_t last = std::min(groups, (piece + 1) * per_piece);
    for (std::size_t group = piece * per_piece; group < last; ++group) work.run(group);
  });
}

LeaveOneOutRecord leave_one_out_record(std::span<const MetricPoint> points,
                                       const FieldRecord& record,
                                       std::span<const std::uint64_t> usable_bits,
                                       const Variogram& variogram,
                                       const RecordLeaveOneOutOptions& options) {
  RecordLeaveOneOut engine(points, variogram, options);
  LeaveOneOutRecord result;
  result.estimate.resize(record.values.size());
  result.variance.resize(record.values.size());
  result.neighbours.resize(record.values.size());
  const std::size_t bytes_per_step = 18 * std::max<std::size_t>(record.points, 1);
  const std::size_t block_steps = std::max<std::size_t>(64, kBlockBytes / bytes_per_step / 64 * 64);
  LeaveOneOutBlock block;
  for (std::size_t first = 0; first < record.steps; first += block_steps) {
    const std::size_t steps = std::min(block_steps, record.steps - first);
    engine.run(record, usable_bits, first, steps, block);
    for (std::size_t p = 0; p < record.points; ++p) {
      const auto to = static_cast<std::ptrdiff_t>(p * record.steps + first);
      const std::size_t from = p * steps;
      for (std::size_t t = 0; t < steps; ++t) {
        const std::size_t at = static_cast<std::size_t>(to) + t;
        result.estimate[at] = static_cast<float>(block.estimate[from + t]);
        result.variance[at] = static_cast<float>(block.variance[from + t]);
        result.neighbours[at] = block.neighbours[from + t];
      }
    }
  }
  return result;
}

}  // namespace gaugeloom
