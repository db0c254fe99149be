#pragma once
// crossval.csv: one row per measured value, its leave-one-out estimate beside it; by time, then in
// the order of the gauges. Written block by block while the estimates are made.

#include <cstddef>
#include <string>
#include <vector>

#include "gaugeloom/interp/record_leave_one_out.hpp"
#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/rain_table.hpp"

namespace gaugeloom {

struct CrossvalWriteOptions {
  bool errors = true;  // false, for inverse distance: both error columns stay empty
  int threads = 0;     // 0 = all cores; the bytes do not depend on it
};

// Columns: time (UTC, the end of the step), gauge, observed_mm, estimate_mm, standard_error_mm,
// standardised_error = (observed - estimate) / standard error, neighbours. Six decimals; rounded
// from the exact binary value, half away from zero. What could not be estimated has an empty
// estimate and 0 neighbours; a standard error of 0 leaves the standardised error empty.
class CrossvalWriter {
 public:
  // Writes the header.
  CrossvalWriter(AtomicFile& file, const Network& network, CrossvalWriteOptions options = {});

  // The rows of steps [first_step, first_step + block.steps) of `observed`.
  // Requires: observed.gauge_count() == network.size() == block.points.
  // Throws:   Error{io_failure} naming the file. The caller commits the file at the end.
  // Cost:     some 40 ns per row and thread.
  void write(const RainTable& observed, std::size_t first_step, const LeaveOneOutBlock& block);

 private:
  AtomicFile& file_;
  CrossvalWriteOptions options_;
  std::vector<std::string> ids_;  // quoted where they must be, with the comma after them
  std::size_t longest_id_ = 0;
};

}  // namespace gaugeloom
