#pragma once
// ISO 8601 times and plain durations as text.
// Source: ISO 8601-1:2019, calendar dates and times of day in extended format.

#include <optional>
#include <string>
#include <string_view>

#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

struct ParsedTime {
  Instant clock;                               // the clock reading, as if it were UTC
  std::optional<std::chrono::minutes> offset;  // what was written: Z is 0; absent without one

  Instant utc(std::chrono::minutes offset_if_absent = {}) const {
    return clock - offset.value_or(offset_if_absent);
  }
};

// Reads YYYY-MM-DD, then optionally T or a space, HH:MM, optionally :SS and a fraction of up to six
// digits, then optionally Z, +HH:MM, +HHMM or +HH. 24:00 is the end of its day. The whole text must
// match; years 1800 to 2199; dates that do not exist give nothing.
std::optional<ParsedTime> parse_iso8601(std::string_view text);

// 2021-03-04T10:00:00Z; a fraction of six digits is added only where there is one.
std::string format_utc(Instant t);
// 20210304T1000Z: for file names and ids.
std::string format_compact(Instant t);

// Reads 30s, 5min, 15min, 1h, 6h, 1d; whole numbers above 0 only, at most 366d.
std::optional<std::chrono::seconds> parse_duration(std::string_view text);
// The largest unit that is whole: 90 minutes is 90min, 24 hours is 1d.
std::string format_duration(std::chrono::seconds duration);
// Reads +HH:MM, -HH:MM, +HHMM, +HH or Z, at most 18 hours.
std::optional<std::chrono::minutes> parse_utc_offset(std::string_view text);

}  // namespace gaugeloom
