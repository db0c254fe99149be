#include "gaugeloom/time/iso8601.hpp"

#include <gtest/gtest.h>

namespace gaugeloom {
namespace {

using namespace std::chrono;  // NOLINT: literals and calendar names, in a test only

TEST(Iso8601, ReadsTimesWithAndWithoutOffset) {
  const auto utc = parse_iso8601("2024-02-29T23:30:15Z");
  ASSERT_TRUE(utc);
  EXPECT_EQ(format_utc(utc->utc()), "2024-02-29T23:30:15Z");
  const auto east = parse_iso8601("2016-12-02T21:50:00+08:00");
  ASSERT_TRUE(east);
  EXPECT_EQ(format_utc(east->utc()), "2016-12-02T13:50:00Z");
  const auto bare = parse_iso8601("2016-12-02 21:50");
  ASSERT_TRUE(bare);
  EXPECT_FALSE(bare->offset);
  EXPECT_EQ(format_utc(bare->utc(minutes{-90})), "2016-12-02T23:20:00Z");
  EXPECT_EQ(format_utc(parse_iso8601("2016-12-31T24:00")->utc()), "2017-01-01T00:00:00Z");
  EXPECT_EQ(format_utc(parse_iso8601("2016-12-31")->utc()), "2016-12-31T00:00:00Z");
  EXPECT_EQ(format_utc(parse_iso8601("2016-12-31T10:00:01.25Z")->utc()),
            "2016-12-31T10:00:01.250000Z");
}

TEST(Iso8601, RefusesWhatDoesNotExist) {
  for (const char* text :
       {"", "2023-02-29T00:00Z", "2024-13-01", "2024-00-10", "2024-1-1", "2024-01-01T25:00",
        "2024-01-01T24:01", "2024-01-01T10", "2024-01-01T10:60", "2024-01-01T10:00:60",
        "2024-01-01T10:00Zx", "2024-01-01T10:00+19:00", "2024-01-01T10:00+1", "24-01-01T10:00",
        "2024-01-01T10:00:00.", "2024-01-01T10:00:00.1234567", "1799-01-01", "2024-01-01T"})
    EXPECT_FALSE(parse_iso8601(text)) << text;
}

TEST(Iso8601, ReadsAndWritesDurations) {
  EXPECT_EQ(parse_duration("5min"), seconds{300});
  EXPECT_EQ(parse_duration("1d"), seconds{86400});
  for (const char* text : {"", "5", "min", "0h", "-5min", "1.5h", "400d", "99999999999999999s"})
    EXPECT_FALSE(parse_duration(text)) << text;
  EXPECT_EQ(format_duration(seconds{5400}), "90min");
  EXPECT_EQ(format_duration(seconds{86400}), "1d");
  EXPECT_EQ(parse_utc_offset("+05:30"), minutes{330});
  EXPECT_FALSE(parse_utc_offset("5"));
}

}  // namespace
}  // namespace gaugeloom
