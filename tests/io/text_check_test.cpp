#include <gtest/gtest.h>

#include "io/text_check_internal.hpp"

namespace gaugeloom {
namespace {

TEST(TextCheck, TakesUtf8) {
  EXPECT_FALSE(first_not_text("plain, with\ttabs\r\n"));
  EXPECT_FALSE(first_not_text("Gr\xC3\xBC\xC3\x9F, \xE2\x82\xAC, \xF0\x9F\x8C\xA7"));
}

// Table 3-7 of the Unicode standard (well-formed sequences) decides these; from memory.
TEST(TextCheck, FindsTheFirstByteThatIsNoText) {
  const std::vector<std::pair<std::string, std::size_t>> cases = {{std::string("ab\0c", 4), 2},
                                                                  {"a\x7F", 1},
                                                                  {"\x1b[0m", 0},
                                                                  {"ok\x80", 2},
                                                                  {"\xC0\x80", 0},
                                                                  {"\xE0\x80\x80", 0},
                                                                  {"\xED\xA0\x80", 0},
                                                                  {"\xF4\x90\x80\x80", 0},
                                                                  {"\xF0\x80\x80\x80", 0},
                                                                  {"x\xC3", 1},
                                                                  {"\xE2\x82", 0},
                                                                  {"\xFF", 0}};
  for (const auto& [text, at] : cases) EXPECT_EQ(first_not_text(text), at) << text;
}

TEST(TextCheck, ShortensTextForMessages) {
  EXPECT_EQ(quoted_for_message("abc"), "'abc'");
  EXPECT_EQ(quoted_for_message(std::string(50, 'x')), "'" + std::string(40, 'x') + "...'");
  EXPECT_EQ(quoted_for_message(std::string("a\0\xFFz", 4)),
            "'a?"
            "?z'");
}

}  // namespace
}  // namespace gaugeloom
