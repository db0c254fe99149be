#pragma once
// Rain depth by gauge and step: gauge-major, contiguous in time, float32. Missing is its own state:
// NaN and a cleared bit, always together; it is never 0.

#include <cstddef>
#include <cstdint>
#include <span>

#include "gaugeloom/core/bulk_vector.hpp"
#include "gaugeloom/time/step_axis.hpp"

namespace gaugeloom {

class RainTable {
 public:
  RainTable() = default;
  // All missing. 4 bytes and 1 bit per gauge and step.
  RainTable(StepAxis axis, std::size_t gauges);
  // Takes values in gauge-major order, NaN = missing. Requires values.size() == gauges * count.
  RainTable(StepAxis axis, std::size_t gauges, BulkVector<float> values_mm);
  // The same of a copy.
  RainTable(StepAxis axis, std::size_t gauges, std::span<const float> values_mm);

  const StepAxis& axis() const { return axis_; }
  std::size_t gauge_count() const { return gauges_; }
  std::size_t step_count() const { return axis_.count(); }

  // All depths in mm, gauge-major: gauge * step_count() + step.
  std::span<const float> values() const { return values_; }
  // Depths of one gauge in mm, NaN where missing.
  std::span<const float> row(std::size_t gauge) const {
    return std::span<const float>(values_).subspan(gauge * axis_.count(), axis_.count());
  }
  float depth_mm(std::size_t gauge, std::size_t step) const {
    return values_[gauge * axis_.count() + step];
  }
  bool is_measured(std::size_t gauge, std::size_t step) const {
    return (bits_[gauge * words_ + step / 64] >> (step % 64)) & 1U;
  }
  // One bit per step, 1 = measured; bit i of word w is step 64 w + i; unused bits are 0.
  std::span<const std::uint64_t> measured_bits(std::size_t gauge) const {
    return std::span(bits_).subspan(gauge * words_, words_);
  }

  // depth_mm is finite and >= 0, or NaN, which means missing.
  void set(std::size_t gauge, std::size_t step, float depth_mm);
  void set_missing(std::size_t gauge, std::size_t step);

 private:
  StepAxis axis_;
  std::size_t gauges_ = 0;
  std::size_t words_ = 0;
  BulkVector<float> values_;
  BulkVector<std::uint64_t> bits_;
};

// Sums over consecutive blocks of `steps_per_sum` steps, the blocks starting at the beginning of
// the table (a rest at the end is left out). A sum is missing when any of its steps is.
// Requires steps_per_sum >= 1. Cost: one pass.
RainTable sums(const RainTable& table, std::size_t steps_per_sum);

// The sum of one gauge over steps [first, last) in mm; NaN when any of them is missing.
double window_sum(const RainTable& table, std::size_t gauge, std::size_t first, std::size_t last);

// The part of the table in steps [first, last).
RainTable slice(const RainTable& table, std::size_t first, std::size_t last);

}  // namespace gaugeloom
