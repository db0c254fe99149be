#pragma once
// Small PNG of few colours. Source: ISO/IEC 15948 (PNG), colour type 3. Internal.

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>

namespace gaugeloom {

// A picture as the bytes of a PNG with a palette and nothing else: no times, no texts.
//   pixels   0xRRGGBB, row by row from the top
// Of more than 256 colours the most frequent stay as they are (on a tie the lower number), and each
// of the others becomes the nearest of them in red, green and blue.
//   clear    a colour whose pixels are see-through
// Requires: pixels.size() == width * height, both at least 1. Cost: the colours beyond 256 are
// compared with each of the palette.
std::string palette_png(std::size_t width, std::size_t height,
                        std::span<const std::uint32_t> pixels,
                        std::optional<std::uint32_t> clear = std::nullopt);

}  // namespace gaugeloom
