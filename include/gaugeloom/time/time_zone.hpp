#pragma once
// Clock readings of a place to UTC, by the time-zone database of the system.

#include <chrono>
#include <string>

#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

// Clock readings in [from, to), given as if they were UTC, all `offset` ahead of UTC and each shown
// once.
struct ClockSpan {
  Instant from;
  Instant to;
  std::chrono::seconds offset{0};
};

class TimeZone {
 public:
  // `name` as Area/City. Throws Error{invalid_option} when the database does not know it.
  explicit TimeZone(const std::string& name);

  const std::string& name() const { return name_; }
  // The instant at which a clock there shows `clock` (given as if it were UTC).
  // Throws Error{inconsistent_input} naming the hour, when the clock shows it twice or never.
  Instant utc(Instant clock) const { return clock - span_at(clock).offset; }
  // The longest span of clock readings around `clock` with one offset: for many times in a row.
  // Throws as utc() does.
  ClockSpan span_at(Instant clock) const;

 private:
  std::string name_;
  const void* zone_ = nullptr;  // lives as long as the process
};

}  // namespace gaugeloom
