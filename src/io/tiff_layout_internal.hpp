#pragma once
// The frame of a TIFF: header, directories (IFD) and where every tile will stand, before a byte of
// the tiles is written. Source: TIFF 6.0 (Adobe 1992), section 2; BigTIFF (Aware Systems, from
// memory).

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace gaugeloom {

enum class TiffType : std::uint16_t {
  ascii = 2,
  uint16 = 3,
  uint32 = 4,
  float64 = 12,
  uint64 = 16
};

struct TiffTag {
  std::uint16_t tag = 0;
  TiffType type = TiffType::uint16;
  std::uint64_t count = 0;
  std::string bytes;  // little endian
};

TiffTag tiff_ascii(std::uint16_t tag, std::string_view text);  // with the closing zero byte
TiffTag tiff_uint16(std::uint16_t tag, std::span<const std::uint16_t> values);
TiffTag tiff_uint16(std::uint16_t tag, std::uint16_t value);
TiffTag tiff_uint32(std::uint16_t tag, std::span<const std::uint32_t> values);
TiffTag tiff_uint32(std::uint16_t tag, std::uint32_t value);
TiffTag tiff_float64(std::uint16_t tag, std::span<const double> values);

// One image of the file, and the sizes of its tiles as compressed, in the order of the file.
struct TiffImage {
  std::vector<TiffTag> tags;  // without the offsets and byte counts of its tiles; rising
  std::vector<std::uint32_t> tile_bytes;
};

// The first bytes of a cloud-optimised TIFF: all directories, for images from the largest to the
// smallest; the tiles follow directly, those of the last image first. Each tile stands between 4
// bytes with its size and a copy of its last 4 bytes. BigTIFF where the file passes
// `classic_limit` bytes.
std::string tiff_frame(const std::vector<TiffImage>& images,
                       std::uint64_t classic_limit = 0xFFFFFFFFULL);

}  // namespace gaugeloom
