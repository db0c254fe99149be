#pragma once
// Instants in UTC and half-open intervals between them. Leap seconds are not counted (POSIX time).

#include <chrono>

namespace gaugeloom {

using Duration = std::chrono::microseconds;
using Instant = std::chrono::sys_time<Duration>;

// [from, to): from belongs to it, to does not.
struct Interval {
  Instant from;
  Instant to;

  Duration length() const { return to - from; }
  bool contains(Instant t) const { return from <= t && t < to; }
  bool overlaps(const Interval& other) const { return from < other.to && other.from < to; }
  bool operator==(const Interval&) const = default;
};

// Which end of its interval a time in a file marks.
enum class StepLabel { end, start };

}  // namespace gaugeloom
