#include "gaugeloom/time/time_zone.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

std::string utc_text(const TimeZone& zone, const char* clock) {
  return format_utc(zone.utc(parse_iso8601(clock)->clock));
}

std::string refusal(const TimeZone& zone, const char* clock) {
  try {
    utc_text(zone, clock);
  } catch (const Error& error) {
    EXPECT_EQ(error.code(), ErrorCode::inconsistent_input);
    return error.what();
  }
  return "accepted";
}

// Offsets and rules from memory: Berlin is +01:00, +02:00 from the last Sunday of March to that of
// October, changing at 01:00 UTC; Kathmandu is +05:45 all year.
TEST(TimeZone, TurnsClocksIntoUtc) {
  const TimeZone berlin("Europe/Berlin");
  EXPECT_EQ(utc_text(berlin, "2024-01-15T12:00"), "2024-01-15T11:00:00Z");
  EXPECT_EQ(utc_text(berlin, "2024-07-15T12:00"), "2024-07-15T10:00:00Z");
  EXPECT_EQ(utc_text(berlin, "2024-03-31T01:59:59.5"), "2024-03-31T00:59:59.500000Z");
  EXPECT_EQ(utc_text(berlin, "2024-03-31T03:00"), "2024-03-31T01:00:00Z");
  EXPECT_EQ(utc_text(berlin, "2024-10-27T03:00"), "2024-10-27T02:00:00Z");
  EXPECT_EQ(utc_text(TimeZone("Asia/Kathmandu"), "2024-02-29T05:45"), "2024-02-29T00:00:00Z");
}

TEST(TimeZone, NamesAnHourThatHappensTwiceOrNever) {
  const TimeZone berlin("Europe/Berlin");
  EXPECT_EQ(refusal(berlin, "2024-10-27T02:30"),
            "2024-10-27T02:30 in Europe/Berlin happens twice, when the clocks go back; write the "
            "offset beside the time");
  EXPECT_EQ(refusal(berlin, "2024-03-31T02:00"),
            "2024-03-31T02:00 in Europe/Berlin never happens, as the clocks go forward; write the "
            "offset beside the time");
}

TEST(TimeZone, GivesTheClockReadingsOfOneOffset) {
  const ClockSpan summer =
      TimeZone("Europe/Berlin").span_at(parse_iso8601("2024-07-15T12:00")->clock);
  EXPECT_EQ(format_utc(summer.from), "2024-03-31T03:00:00Z");  // first reading after the gap
  EXPECT_EQ(format_utc(summer.to), "2024-10-27T02:00:00Z");    // from here on readings repeat
  EXPECT_EQ(summer.offset, std::chrono::hours{2});
  const ClockSpan winter =
      TimeZone("Europe/Berlin").span_at(parse_iso8601("2024-01-15T12:00")->clock);
  EXPECT_EQ(format_utc(winter.from), "2023-10-29T03:00:00Z");  // readings no longer repeat
  EXPECT_EQ(format_utc(winter.to), "2024-03-31T02:00:00Z");
}

TEST(TimeZone, RefusesAnUnknownName) {
  try {
    const TimeZone zone("Nowhere/Atall");
    FAIL() << "nothing was thrown";
  } catch (const Error& error) {
    EXPECT_EQ(error.code(), ErrorCode::invalid_option);
    EXPECT_STREQ(error.what(),
                 "time zone 'Nowhere/Atall' is not in the system's database; give it as Area/City, "
                 "or give --utc-offset");
  }
}

}  // namespace
}  // namespace gaugeloom
