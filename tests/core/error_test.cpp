#include "gaugeloom/core/error.hpp"

#include <gtest/gtest.h>

namespace gaugeloom {
namespace {

TEST(Error, PutsThePositionFirst) {
  const Error whole(ErrorCode::malformed_input, "it is empty", {"rain.csv"});
  EXPECT_STREQ(whole.what(), "rain.csv: it is empty");
  const Error line(ErrorCode::malformed_input, "it is empty", {"rain.csv", 12});
  EXPECT_STREQ(line.what(), "rain.csv:12: it is empty");
  const Error column(ErrorCode::malformed_input, "it is empty", {"rain.csv", 12, 3});
  EXPECT_STREQ(column.what(), "rain.csv:12:3: it is empty");
  EXPECT_EQ(column.code(), ErrorCode::malformed_input);
  EXPECT_EQ(column.pos().column, 3);
  EXPECT_STREQ(Error(ErrorCode::invalid_option, "no").what(), "no");
}

}  // namespace
}  // namespace gaugeloom
