#include "gaugeloom/interp/leave_one_out_score.hpp"

#include <algorithm>
#include <cmath>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/parallel.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kPointsPerPiece = 256;

}  // namespace

void LeaveOneOutSums::add(const FieldRecord& record, std::size_t first_step,
                          const LeaveOneOutBlock& block, int threads) {
  GAUGELOOM_ASSERT(points_.empty() || points_.size() == block.points);
  points_.resize(block.points);
  const std::size_t pieces = (block.points + kPointsPerPiece - 1) / kPointsPerPiece;
  parallel_for(pieces, threads, [&](std::size_t piece) {
    const std::size_t last = std::min(block.points, (piece + 1) * kPointsPerPiece);
    for (std::size_t p = piece * kPointsPerPiece; p < last; ++p) {
      PointSums sums = points_[p];
      const float* values = record.values.data() + p * record.steps + first_step;
      const double* estimates = block.estimate.data() + p * block.steps;
      for (std::size_t t = 0; t < block.steps; ++t) {
        const double error = estimates[t] - static_cast<double>(values[t]);
        if (std::isnan(error)) continue;
        ++sums.values;
        sums.squares += error * error;
        sums.absolutes += std::fabs(error);
        sums.errors += error;
      }
      points_[p] = sums;
    }
  });
}

LeaveOneOutScore LeaveOneOutSums::score() const {
  PointSums all;
  for (const PointSums& sums : points_) {
    all.values += sums.values;
    all.squares += sums.squares;
    all.absolutes += sums.absolutes;
    all.errors += sums.errors;
  }
  LeaveOneOutScore score;
  score.values = all.values;
  if (all.values == 0) return score;
  const auto count = static_cast<double>(all.values);
  score.root_mean_square_error = std::sqrt(all.squares / count);
  score.mean_absolute_error = all.absolutes / count;
  score.mean_error = all.errors / count;
  return score;
}

}  // namespace gaugeloom
