#include "gaugeloom/time/compact_time.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

TEST(CompactTime, ReadsWhatIsWrittenForIds) {
  const auto read = parse_compact("20240229T2330Z");
  ASSERT_TRUE(read);
  EXPECT_EQ(format_utc(*read), "2024-02-29T23:30:00Z");
  EXPECT_EQ(format_compact(*read), "20240229T2330Z");
}

TEST(CompactTime, RefusesAllElse) {
  for (const char* text :
       {"", "20230229T2330Z", "20240229T2330", "20240229 2330Z", "20240229T2400Z", "20240229T233 Z",
        "2024-2-9T2330Z", "20240229T23301", "20240229T2330+"})
    EXPECT_FALSE(parse_compact(text)) << text;
}

}  // namespace
}  // namespace gaugeloom
