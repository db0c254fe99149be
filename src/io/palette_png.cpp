#include <zlib.h>

#include <algorithm>
#include <array>
#include <limits>
#include <unordered_map>
#include <utility>
#include <vector>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "io/palette_png_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kMostColours = 256;

std::array<int, 3> channels(std::uint32_t colour) {
  return {static_cast<int>(colour >> 16U & 255U), static_cast<int>(colour >> 8U & 255U),
          static_cast<int>(colour & 255U)};
}

int apart(std::uint32_t one, std::uint32_t other) {
  const auto a = channels(one), b = channels(other);
  int sum = 0;
  for (std::size_t i = 0; i < 3; ++i) sum += (a[i] - b[i]) * (a[i] - b[i]);
  return sum;
}

struct Palette {
  std::vector<std::uint32_t> colours;
  std::unordered_map<std::uint32_t, std::uint8_t> index;  // of every colour of the picture
};

Palette palette_of(std::span<const std::uint32_t> pixels) {
  std::unordered_map<std::uint32_t, std::size_t> counts;
  for (const std::uint32_t pixel : pixels) ++counts[pixel];
  std::vector<std::pair<std::uint32_t, std::size_t>> all(counts.begin(), counts.end());
  std::sort(all.begin(), all.end(), [](const auto& a, const auto& b) {
    return a.second != b.second ? a.second > b.second : a.first < b.first;
  });
  Palette palette;
  for (const auto& [colour, count] : all) {
    if (palette.colours.size() < kMostColours) {
      palette.index[colour] = static_cast<std::uint8_t>(palette.colours.size());
      palette.colours.push_back(colour);
      continue;
    }
    const auto nearest = std::min_element(
        palette.colours.begin(), palette.colours.end(),
        [colour = colour](auto a, auto b) { return apart(a, colour) < apart(b, colour); });
    palette.index[colour] = static_cast<std::uint8_t>(nearest - palette.colours.begin());
  }
  return palette;
}

void append_number(std::string& bytes, std::uint32_t number) {
  for (const unsigned shift : {24U, 16U, 8U, 0U})
    bytes += static_cast<char>(number >> shift & 255U);
}

void append_chunk(std::string& bytes, const char* name, const std::string& content) {
  append_number(bytes, static_cast<std::uint32_t>(content.size()));
  const std::string checked = name + content;
  bytes += checked;
  append_number(bytes, static_cast<std::uint32_t>(crc32_z(
                           0, reinterpret_cast<const Bytef*>(checked.data()), checked.size())));
}

std::string deflated(const std::string& bytes) {
  uLongf size = compressBound(bytes.size());
  std::string packed(size, '\0');
  if (compress2(reinterpret_cast<Bytef*>(packed.data()), &size,
                reinterpret_cast<const Bytef*>(bytes.data()), bytes.size(),
                Z_BEST_COMPRESSION) != Z_OK)
    throw Error(ErrorCode::io_failure, "there is no memory to compress the picture; free some");
  packed.resize(size);
  return packed;
}

}  // namespace

std::string palette_png(std::size_t width, std::size_t height,
                        std::span<const std::uint32_t> pixels, std::optional<std::uint32_t> clear) {
  GAUGELOOM_ASSERT(width > 0 && height > 0 && pixels.size() == width * height);
  const Palette palette = palette_of(pixels);
  std::string head, colours, rows;
  append_number(head, static_cast<std::uint32_t>(width));
  append_number(head, static_cast<std::uint32_t>(height));
  head.append({8, 3, 0, 0, 0});  // bits, with a palette, deflate, filters by row, not interlaced
  for (const std::uint32_t colour : palette.colours)
    for (const int channel : channels(colour)) colours += static_cast<char>(channel);
  rows.reserve((width + 1) * height);
  for (std::size_t i = 0; i < pixels.size(); ++i) {
    if (i % width == 0) rows += '\0';  // not filtered: neighbours in a palette are no neighbours
    rows += static_cast<char>(palette.index.at(pixels[i]));
  }
  std::string bytes = "\x89PNG\r\n\x1a\n";
  append_chunk(bytes, "IHDR", head);
  append_chunk(bytes, "PLTE", colours);
  const auto unseen = std::find(palette.colours.begin(), palette.colours.end(), clear);
  if (unseen != palette.colours.end())  // opaque up to it
    append_chunk(
        bytes, "tRNS",
        std::string(static_cast<std::size_t>(unseen - palette.colours.begin()), '\xFF') + '\0');
  append_chunk(bytes, "IDAT", deflated(rows));
  append_chunk(bytes, "IEND", {});
  return bytes;
}

}  // namespace gaugeloom
