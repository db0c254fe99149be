#include "io/palette_png_internal.hpp"

#include <gtest/gtest.h>

#include <vector>

#include "support/picture.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

support::Picture read_back(std::size_t width, std::size_t height,
                           const std::vector<std::uint32_t>& pixels) {
  const support::TemporaryFolder folder;
  return support::read_picture(folder.write("p.png", palette_png(width, height, pixels)));
}

TEST(PalettePng, KeepsUpTo256Colours) {
  std::vector<std::uint32_t> pixels;
  for (std::uint32_t i = 0; i < 3 * 256; ++i) pixels.push_back(0x010101U * (i % 256) ^ 0x123456U);
  const auto got = read_back(3, 256, pixels);
  EXPECT_EQ(got.width, 3);
  EXPECT_EQ(got.height, 256);
  EXPECT_EQ(got.pixels, pixels);
  EXPECT_EQ(read_back(1, 1, {0xABCDEF}).pixels, std::vector<std::uint32_t>{0xABCDEF});
}

TEST(PalettePng, TakesTheNearestOfTheMostFrequentForTheOthers) {
  std::vector<std::uint32_t> pixels;
  for (std::uint32_t i = 0; i < 256; ++i) pixels.insert(pixels.end(), {i << 8U, i << 8U});
  pixels.push_back(0x017F02);  // once: beyond the palette, nearest to 0x007F00
  pixels.push_back(0xFF0000);  // nearest to black
  const auto got = read_back(2, 257, pixels);
  EXPECT_EQ(got.pixels[510], 0x00FF00U);
  EXPECT_EQ(got.pixels[512], 0x007F00U);
  EXPECT_EQ(got.pixels[513], 0U);
}

}  // namespace
}  // namespace gaugeloom
