#pragma once
// Leave-one-out over a whole record: for every point and step the estimate from the k nearest
// other points that are usable at that step, whether or not the point itself has a value.
// Kriging weights depend on geometry, availability and noise alone, so each distinct set of
// neighbours is solved once per point and its weights serve every step that has it.
// Sources: N. Cressie, Statistics for Spatial Data, rev. ed., Wiley 1993, section 3.2 (kriging);
// O. Dubrule, Math. Geology 15 (1983), p. 687 (all neighbours: leave-one-out from one inverse).

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/core/bulk_vector.hpp"
#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/interp/estimate.hpp"
#include "gaugeloom/interp/field_record.hpp"
#include "gaugeloom/interp/variogram.hpp"

namespace gaugeloom {

struct RecordLeaveOneOutOptions {
  InterpolationMethod method = InterpolationMethod::ordinary_kriging;
  double power = 2;     // inverse distance only; > 0
  int neighbours = 16;  // nearest usable points per estimate; 0 = all of them
  NegativeWeights negative_weights = NegativeWeights::keep;
  // Kriging only: measurement variance per point, in units of the variogram's sill, added to the
  // diagonal where the point is a neighbour (never for the point that is estimated). Empty = none.
  std::vector<double> relative_noise;
  int threads = 0;  // 0 = all cores; the result does not depend on it

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

// Results of steps [first, first + steps), point-major: point * steps + (step - first).
//   estimate    NaN where no neighbour is usable, or the system is singular
//   variance    kriging variance, the target's own nugget included; NaN for inverse distance and
//               where the estimate is NaN
//   neighbours  how many points were used; 65535 also stands for more
struct LeaveOneOutBlock {
  std::size_t points = 0;
  std::size_t steps = 0;
  BulkVector<double> estimate;
  BulkVector<double> variance;
  BulkVector<std::uint16_t> neighbours;
};

// The engine: set up once for a network, then asked for any steps, again and again; weights are
// kept in between (some 2 kB per point for k = 16).
//
// Laws (each one is a test):
//   (1) agrees with the plain solution of each single system to 1e-9 relative;
//   (2) the same bytes for any number of threads, any vector level and any split into blocks;
//   (3) a constant field stays constant;
//   (4) one usable neighbour gives its value; none gives NaN and 0 neighbours;
//   (5) a value that is not usable is never a neighbour, and its own estimate is unaffected.
// Neighbours are ordered by distance, ties by the lower index. At the same place as the target an
// inverse-distance estimate is the mean of the usable points there. Between two points at one
// place the covariance is the partial sill: the nugget is each point's own.
class RecordLeaveOneOut {
 public:
  // Requires: relative_noise empty or of points.size(). Throws: Error{invalid_option} if
  // options.problem() or (for kriging) variogram.problem() has one, or for kriging from all of more
  // than kMostGlobalGauges points.
  // Cost: the 40 or so nearest of every point. For kriging from all of more than 65 points n^3
  // operations and 4 n^2 numbers, once; then n^2 operations for a step, n m^2 for each pattern of m
  // missing points (and n^3 where negative weights are dropped).
  RecordLeaveOneOut(std::span<const MetricPoint> points, const Variogram& variogram,
                    RecordLeaveOneOutOptions options = {});
  ~RecordLeaveOneOut();
  RecordLeaveOneOut(RecordLeaveOneOut&&) noexcept;
  RecordLeaveOneOut& operator=(RecordLeaveOneOut&&) noexcept;

  //   record       values at the points, in their order; NaN = missing
  //   usable_bits  point-major, (record.steps + 63) / 64 words per point, bit i of word w = step
  //                64 w + i: whether the value may be a neighbour; empty = every finite value may.
  //                A missing value never is, whatever its bit says.
  // Requires: first_step + steps <= record.steps.
  void run(const FieldRecord& record, std::span<const std::uint64_t> usable_bits,
           std::size_t first_step, std::size_t steps, LeaveOneOutBlock& out);

 private:
  struct State;
  std::unique_ptr<State> state_;
};

// The whole record at once, rounded to float32.
struct LeaveOneOutRecord {
  std::vector<float> estimate;  // points x steps, as in LeaveOneOutBlock
  std::vector<float> variance;
  std::vector<std::uint16_t> neighbours;
};
LeaveOneOutRecord leave_one_out_record(std::span<const MetricPoint> points,
                                       const FieldRecord& record,
                                       std::span<const std::uint64_t> usable_bits,
                                       const Variogram& variogram,
                                       const RecordLeaveOneOutOptions& options = {});

}  // namespace gaugeloom
