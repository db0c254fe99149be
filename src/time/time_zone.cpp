#include "gaugeloom/time/time_zone.hpp"

#include <date/tz.h>

#include <algorithm>
#include <exception>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

const date::time_zone& as_zone(const void* zone) {
  return *static_cast<const date::time_zone*>(zone);
}

// 2024-10-27T02:30 of a clock reading.
std::string clock_text(Instant clock) { return format_utc(clock).substr(0, 16); }

}  // namespace

TimeZone::TimeZone(const std::string& name) : name_(name) {
  try {
    zone_ = date::locate_zone(name);
  } catch (const std::exception&) {
    throw Error(
        ErrorCode::invalid_option,
        "time zone '" + name +
            "' is not in the system's database; give it as Area/City, or give --utc-offset");
  }
}

ClockSpan TimeZone::span_at(Instant clock) const {
  const auto seconds = std::chrono::floor<std::chrono::seconds>(clock);
  const date::local_seconds local{seconds.time_since_epoch()};
  const date::local_info info = as_zone(zone_).get_info(local);
  if (info.result == date::local_info::ambiguous)
    throw Error(ErrorCode::inconsistent_input,
                clock_text(clock) + " in " + name_ +
                    " happens twice, when the clocks go back; write the offset beside the time");
  if (info.result == date::local_info::nonexistent)
    throw Error(ErrorCode::inconsistent_input,
                clock_text(clock) + " in " + name_ +
                    " never happens, as the clocks go forward; write the offset beside the time");
  const date::sys_info& here = info.first;
  const auto day = std::chrono::hours{24};
  const Instant far_past = clock - day * 3660;  // some zones have had one offset since ever
  const Instant far_future = clock + day * 3660;
  ClockSpan span{far_past, far_future, here.offset};
  if (here.begin > far_past) {
    const auto before = as_zone(zone_).get_info(here.begin - std::chrono::seconds{1});
    span.from = std::max(far_past, Instant{here.begin} + std::max(before.offset, here.offset));
  }
  if (here.end < far_future) {
    const auto after = as_zone(zone_).get_info(here.end);
    span.to = std::min(far_future, Instant{here.end} + std::min(after.offset, here.offset));
  }
  return span;
}

}  // namespace gaugeloom
