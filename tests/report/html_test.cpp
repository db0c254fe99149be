#include "report/html_internal.hpp"

#include <gtest/gtest.h>

#include <set>

namespace gaugeloom {
namespace {

std::string escaped(std::string_view text) {
  std::string html;
  append_escaped(html, text);
  return html;
}

TEST(Html, LetsNoTextBecomeMarkup) {
  EXPECT_EQ(escaped("<script>alert(1)</script>"), "&lt;script&gt;alert(1)&lt;/script&gt;");
  EXPECT_EQ(escaped("\" onload='x' &amp;"), "&quot; onload=&#39;x&#39; &amp;amp;");
  EXPECT_EQ(escaped("<\u00E9>"), "&lt;\u00E9&gt;");  // the same beyond ASCII
}

TEST(Html, KeepsTextOfAnyScript) {
  EXPECT_EQ(escaped("V\u00E6rn \u6C34 \U0001F327"), "V\u00E6rn \u6C34 \U0001F327");
}

// Controls and marks of direction could hide or turn around what stands beside them.
TEST(Html, LeavesOutWhatCannotBeSeen) {
  EXPECT_EQ(escaped(std::string_view("a\0b", 3)), "ab");
  EXPECT_EQ(escaped("a\x1B[31mb\x7F"), "a[31mb");
  EXPECT_EQ(escaped("a\u202Eb\u2066c\u2069"), "abc");
  EXPECT_EQ(escaped("a\nb\tc\u2028d"), "a b c d");
}

TEST(Html, ReplacesBytesThatAreNoText) {
  EXPECT_EQ(escaped("a\xFF\xC3"), "a\uFFFD\uFFFD");
  EXPECT_EQ(escaped("\xC0\xBCscript"), "\uFFFD\uFFFDscript");  // an overlong '<'
}

TEST(Html, EscapesValuesAndLeavesOutEmptyOnes) {
  Html html;
  html.open("p", {{"id", "a\"b"}, {"class", ""}}).element("b", "<i>").empty("br").close();
  EXPECT_EQ(html.take(), "<p id=\"a&quot;b\"><b>&lt;i&gt;</b><br></p>\n");
}

TEST(Html, GivesDifferentTextsDifferentAnchors) {
  EXPECT_EQ(anchor_name("V07-reads_low.1"), "V07-reads__low.1");
  EXPECT_EQ(anchor_name("a b\"<\xC3\xA9"), "a_20b_22_3C_C3_A9");
  std::set<std::string> names;
  for (const char* text : {"a_20", "a 20", "a ", "a_", "a__", "a_5F", ""}) {
    const std::string name = anchor_name(text);
    EXPECT_TRUE(names.insert(name).second) << text;
    EXPECT_EQ(name.find_first_of(" \"'<>&#%"), std::string::npos);
  }
}

}  // namespace
}  // namespace gaugeloom
