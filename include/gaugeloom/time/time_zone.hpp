#pragma once
// Clock readings of a place to UTC, by the time-zone database of the system.

#include <chrono>
#include <memory>
#include <string>

#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

class TimeZone {
 public:
  // `name` as Area/City. Throws Error{invalid_option} when the database does not know it.
  explicit TimeZone(const std::string& name);

  const std::string& name() const { return name_; }
  // The instant at which a clock there shows `clock` (given as if it were UTC).
  // Throws Error{inconsistent_input} naming the hour, when the clock shows it twice or never.
  Instant utc(Instant clock) const;

 private:
  std::string name_;
  const void* zone_ = nullptr;  // lives as long as the process
};

}  // namespace gaugeloom
