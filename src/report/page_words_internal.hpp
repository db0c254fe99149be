#pragma once
// How the page writes times, numbers and our own words. Internal.

#include <chrono>
#include <string>
#include <string_view>

#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

inline constexpr std::string_view kUnknown = "\u2013";  // in the place of a number

// "2023-06-14 09:00Z"; the seconds only where there are any.
std::string shown_time(Instant instant);
// "09:00Z" of a time after midnight.
std::string shown_clock(std::chrono::minutes after_midnight);
// With fixed decimals; kUnknown for what is not finite.
std::string shown_number(double value, int decimals);
// A share of 1 as "12.3" percent; what is not quite nothing or all is not shown as that ("<0.1",
// ">99.9").
std::string shown_percent(double share);
// "10 min", "2 h", "1 day".
std::string shown_duration(std::chrono::seconds length);
// "partly_blocked" as "partly blocked".
std::string shown_word(std::string_view word);
// "1 finding", "2 findings".
std::string counted(std::size_t count, std::string_view one);

}  // namespace gaugeloom
