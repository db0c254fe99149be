#pragma once
// A regular time axis. Step i covers [begin(i), end(i)) and is named by its end, as in the
// outputs. Times are exact; no calendar is involved.

#include <cstddef>
#include <optional>

#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

class StepAxis {
 public:
  StepAxis() = default;
  // step > 0.
  StepAxis(Instant first_end, std::chrono::seconds step, std::size_t count);

  std::size_t count() const { return count_; }
  std::chrono::seconds step() const { return step_; }
  double step_hours() const { return static_cast<double>(step_.count()) / 3600.0; }
  Instant end(std::size_t i) const { return first_end_ + step_ * static_cast<long>(i); }
  Instant begin(std::size_t i) const { return end(i) - step_; }
  Interval interval(std::size_t i) const { return {begin(i), end(i)}; }
  Interval span() const;  // from the first begin to the last end; empty axis: both first begin

  // The step that ends exactly at t, if there is one.
  std::optional<std::size_t> ending_at(Instant t) const;
  // The steps whose whole interval lies within `window`, as [first, last).
  struct Range {
    std::size_t first = 0;
    std::size_t last = 0;
  };
  Range within(const Interval& window) const;
  // The steps that share any time with `window`, as [first, last); empty when none does.
  Range touching(const Interval& window) const;
  // How many steps make up `duration`, when it is a whole number of them (1 or more).
  std::optional<std::size_t> steps_in(std::chrono::seconds duration) const;

  bool operator==(const StepAxis&) const = default;

 private:
  Instant first_end_{};
  std::chrono::seconds step_{3600};
  std::size_t count_ = 0;
};

}  // namespace gaugeloom
