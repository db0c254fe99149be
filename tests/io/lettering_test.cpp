#include "io/lettering_internal.hpp"

#include <gtest/gtest.h>

#include <algorithm>

namespace gaugeloom {
namespace {

TEST(Lettering, ShowsCharactersAndNothingElse) {
  EXPECT_EQ(shown_characters("V07 Ж é"), U"V07 Ж é");
  EXPECT_EQ(shown_characters("a\tb\nc\x01\x7F"), U"a b c");
  EXPECT_EQ(shown_characters("a\xE2\x80\xAE"
                             "b\xEF\xBB\xBF"),
            U"ab");  // turned right to left; a byte order mark
  EXPECT_EQ(shown_characters("<script>"), U"<script>");
  EXPECT_EQ(shown_characters("\xF0\x9F\x8C\xA7"), U"\U0001F327");
}

TEST(Lettering, ReplacesWhatIsNoUtf8) {
  EXPECT_EQ(shown_characters("\xFFz"), U"\uFFFDz");
  EXPECT_EQ(shown_characters("\xC3"), U"\uFFFD");            // cut off
  EXPECT_EQ(shown_characters("\xC0\xAF"), U"\uFFFD\uFFFD");  // longer than it need be
  EXPECT_EQ(shown_characters("\xE0\x80\xAF"), U"\uFFFD\uFFFD\uFFFD");
  EXPECT_EQ(shown_characters("\xED\xA0\x80"), U"\uFFFD\uFFFD\uFFFD");  // half of a pair
  EXPECT_EQ(shown_characters("\xF5\x80\x80\x80").size(), 4U);          // beyond Unicode
}

TEST(Lettering, GrowsWithTheEm) {
  const Lettering letters;
  const double small = letters.width(U"Rain", {10, Weight::regular});
  EXPECT_GT(small, 10);
  EXPECT_NEAR(letters.width(U"Rain", {30, Weight::regular}), 3 * small, 1e-9);
  EXPECT_GT(letters.width(U"Rain", {10, Weight::bold}), small);
  EXPECT_EQ(letters.width(U"", {10, Weight::bold}), 0);
}

TEST(Lettering, ShowsWhatTheFontLacksAsReplacement) {
  const Lettering letters;
  EXPECT_EQ(letters.width(U"\U0001F327", {}), letters.width(U"\uFFFD", {}));
}

TEST(Lettering, CutsWhatDoesNotFit) {
  const Lettering letters;
  const TextStyle style{20, Weight::regular};
  EXPECT_EQ(letters.fitted(U"short", style, 100), U"short");
  const std::u32string cut = letters.fitted(std::u32string(1000, U'x'), style, 100);
  EXPECT_EQ(cut.back(), U'…');
  EXPECT_GT(cut.size(), 5U);
  EXPECT_LE(letters.width(cut, style), 100);
}

TEST(Lettering, BreaksLinesAtSpaces) {
  const Lettering letters;
  const TextStyle style{20, Weight::regular};
  const std::u32string text = U"one two  three four " + std::u32string(99, U'x') + U" five";
  const auto lines = letters.lines(text, style, 120);
  ASSERT_GE(lines.size(), 3U);
  EXPECT_EQ(lines.front(), U"one two");
  EXPECT_EQ(lines.back(), U"five");
  for (const auto& line : lines) EXPECT_LE(letters.width(line, style), 120);
  EXPECT_TRUE(letters.lines(U"", style, 120).empty());
  EXPECT_TRUE(letters.lines(U"  ", style, 120).empty());
}

TEST(Lettering, DrawsWithinTheWidth) {
  const Lettering letters;
  const TextStyle style{20, Weight::bold};
  const auto parts = letters.outlines(U"HH", style);
  ASSERT_FALSE(parts.empty());
  double left = 99, right = 0, top = 0, bottom = -99;
  for (const OutlinePart& part : parts) {
    left = std::min(left, part.x[0]);
    right = std::max(right, part.x[0]);
    top = std::min(top, part.y[0]);
    bottom = std::max(bottom, part.y[0]);
  }
  EXPECT_GT(left, 0);
  EXPECT_LT(right, letters.width(U"HH", style));
  EXPECT_NEAR(top, -0.729 * 20, 0.1);  // the height of capitals in this font
  EXPECT_EQ(bottom, 0);
}

}  // namespace
}  // namespace gaugeloom
