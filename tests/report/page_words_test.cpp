#include "report/page_words_internal.hpp"

#include <gtest/gtest.h>

#include <limits>

namespace gaugeloom {
namespace {

TEST(PageWords, WriteTimesWithTheirZone) {
  const Instant time =
      std::chrono::sys_days{std::chrono::year{2023} / 6 / 14} + std::chrono::hours(9);
  EXPECT_EQ(shown_time(time), "2023-06-14 09:00Z");
  EXPECT_EQ(shown_time(time + std::chrono::seconds(5)), "2023-06-14 09:00:05Z");
  EXPECT_EQ(shown_clock(std::chrono::minutes(6 * 60 + 5)), "06:05Z");
}

TEST(PageWords, NeverShowAZeroForNothing) {
  EXPECT_EQ(shown_number(std::numeric_limits<double>::quiet_NaN(), 1), "\u2013");
  EXPECT_EQ(shown_number(std::numeric_limits<double>::infinity(), 1), "\u2013");
  EXPECT_EQ(shown_number(0, 1), "0.0");
  EXPECT_EQ(shown_percent(0.1234), "12.3");
  EXPECT_EQ(shown_percent(0), "0.0");
  EXPECT_EQ(shown_percent(0.0004), "<0.1");
  EXPECT_EQ(shown_percent(0.0006), "0.1");
  EXPECT_EQ(shown_percent(0.9996), ">99.9");
  EXPECT_EQ(shown_percent(1), "100.0");
}

TEST(PageWords, CountAndReadLikeWords) {
  EXPECT_EQ(counted(1, "finding"), "1 finding");
  EXPECT_EQ(counted(0, "storm"), "0 storms");
  EXPECT_EQ(shown_duration(std::chrono::minutes(10)), "10 min");
  EXPECT_EQ(shown_duration(std::chrono::hours(24)), "1 day");
  EXPECT_EQ(shown_duration(std::chrono::seconds(90)), "90 s");
  EXPECT_EQ(shown_word("partly_blocked"), "partly blocked");
}

}  // namespace
}  // namespace gaugeloom
