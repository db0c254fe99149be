#pragma once
// Reads pictures back with GDAL, which did not write them.

#include <cstdint>
#include <string>
#include <vector>

namespace gaugeloom::support {

struct Picture {
  int width = 0;
  int height = 0;
  std::vector<std::uint32_t> pixels;  // 0xRRGGBB, row by row

  std::uint32_t at(int x, int y) const {
    return pixels[static_cast<std::size_t>(y) * static_cast<std::size_t>(width) +
                  static_cast<std::size_t>(x)];
  }
};

// Throws std::runtime_error for what is no picture with a palette.
Picture read_picture(const std::string& path);

}  // namespace gaugeloom::support
