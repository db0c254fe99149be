#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cstring>

#include "io/tiff_layout_internal.hpp"

namespace gaugeloom {
namespace {

static_assert(std::endian::native == std::endian::little);

constexpr std::uint16_t kTileOffsets = 324;
constexpr std::uint16_t kTileByteCounts = 325;
constexpr std::uint64_t kTileFrame = 8;  // bytes around a tile

template <typename Number>
std::string bytes_of(std::span<const Number> values) {
  std::string bytes(values.size_bytes(), '\0');
  if (!bytes.empty()) std::memcpy(bytes.data(), values.data(), bytes.size());
  return bytes;
}

template <typename Number>
void append(std::string& to, Number value) {
  to += bytes_of(std::span<const Number>(&value, 1));
}

// What GDAL reads to know that the directories come first and how the tiles are framed.
// Source: GDAL documentation, "COG driver", section "File format details".
std::string structure() {
  const std::string text =
      "LAYOUT=IFDS_BEFORE_DATA\n"
      "BLOCK_ORDER=ROW_MAJOR\n"
      "BLOCK_LEADER=SIZE_AS_UINT4\n"
      "BLOCK_TRAILER=LAST_4_BYTES_REPEATED\n"
      "KNOWN_INCOMPATIBLE_EDITION=NO\n ";
  return fmt::format("GDAL_STRUCTURAL_METADATA_SIZE={:06} bytes\n{}", text.size(), text);
}

class Frame {
 public:
  Frame(const std::vector<TiffImage>& images, bool big) : images_(images), big_(big) {
    for (const TiffImage& image : images) {
      directories_.push_back(image.tags);
      std::vector<TiffTag>& tags = directories_.back();
      tags.push_back(offsets_tag(std::vector<std::uint64_t>(image.tile_bytes.size())));
      tags.push_back(tiff_uint32(kTileByteCounts, image.tile_bytes));
      std::stable_sort(tags.begin(), tags.end(),
                       [](const TiffTag& a, const TiffTag& b) { return a.tag < b.tag; });
    }
  }

  std::string bytes() {
    const std::string ghost = structure();
    std::uint64_t at = even((big_ ? 16 : 8) + ghost.size());
    const std::uint64_t first = at;
    std::vector<std::uint64_t> starts;
    for (const auto& tags : directories_) {
      starts.push_back(at);
      at += directory_size(tags);
    }
    place_tiles(at);
    std::string out = header(first) + ghost;
    out.resize(first, '\0');
    for (std::size_t i = 0; i < directories_.size(); ++i)
      out += directory(directories_[i], starts[i], i + 1 < starts.size() ? starts[i + 1] : 0);
    return out;
  }

  std::uint64_t file_size() {
    std::uint64_t size = bytes().size();
    for (const TiffImage& image : images_)
      for (const std::uint32_t bytes : image.tile_bytes) size += bytes + kTileFrame;
    return size;
  }

 private:
  static std::uint64_t even(std::uint64_t at) { return at + at % 2; }
  std::size_t word() const { return big_ ? 8 : 4; }

  TiffTag offsets_tag(const std::vector<std::uint64_t>& offsets) const {
    if (big_)
      return {kTileOffsets, TiffType::uint64, offsets.size(),
              bytes_of(std::span<const std::uint64_t>(offsets))};
    const std::vector<std::uint32_t> narrow(offsets.begin(), offsets.end());
    return tiff_uint32(kTileOffsets, narrow);
  }

  // The tiles of the smallest image first.
  void place_tiles(std::uint64_t at) {
    for (std::size_t i = images_.size(); i-- > 0;) {
      std::vector<std::uint64_t> offsets;
      for (const std::uint32_t bytes : images_[i].tile_bytes) {
        offsets.push_back(at + 4);
        at += bytes + kTileFrame;
      }
      for (TiffTag& tag : directories_[i])
        if (tag.tag == kTileOffsets) tag = offsets_tag(offsets);
    }
  }

  std::string header(std::uint64_t first) const {
    std::string out = "II";
    append(out, static_cast<std::uint16_t>(big_ ? 43 : 42));
    if (!big_) {
      append(out, static_cast<std::uint32_t>(first));
      return out;
    }
    append(out, std::uint16_t{8});
    append(out, std::uint16_t{0});
    append(out, first);
    return out;
  }

  std::uint64_t entries_size(const std::vector<TiffTag>& tags) const {
    return (big_ ? 8 : 2) + tags.size() * (big_ ? 20 : 12) + word();
  }

  std::uint64_t directory_size(const std::vector<TiffTag>& tags) const {
    std::uint64_t size = even(entries_size(tags));
    for (const TiffTag& tag : tags)
      if (tag.bytes.size() > word()) size += even(tag.bytes.size());
    return size;
  }

  void append_word(std::string& out, std::uint64_t value) const {
    if (big_)
      append(out, value);
    else
      append(out, static_cast<std::uint32_t>(value));
  }

  std::string directory(const std::vector<TiffTag>& tags, std::uint64_t start,
                        std::uint64_t next) const {
    std::string entries, values;
    const std::uint64_t values_at = start + even(entries_size(tags));
    if (big_)
      append(entries, static_cast<std::uint64_t>(tags.size()));
    else
      append(entries, static_cast<std::uint16_t>(tags.size()));
    for (const TiffTag& tag : tags) {
      append(entries, tag.tag);
      append(entries, static_cast<std::uint16_t>(tag.type));
      append_word(entries, tag.count);
      if (tag.bytes.size() <= word()) {
        entries += tag.bytes + std::string(word() - tag.bytes.size(), '\0');
      } else {
        append_word(entries, values_at + values.size());
        values += tag.bytes + std::string(tag.bytes.size() % 2, '\0');
      }
    }
    append_word(entries, next);
    entries.resize(even(entries.size()), '\0');
    return entries + values;
  }

  const std::vector<TiffImage>& images_;
  bool big_;
  std::vector<std::vector<TiffTag>> directories_;
};

}  // namespace

TiffTag tiff_ascii(std::uint16_t tag, std::string_view text) {
  return {tag, TiffType::ascii, text.size() + 1, std::string(text) + '\0'};
}

TiffTag tiff_uint16(std::uint16_t tag, std::span<const std::uint16_t> values) {
  return {tag, TiffType::uint16, values.size(), bytes_of(values)};
}

TiffTag tiff_uint16(std::uint16_t tag, std::uint16_t value) {
  return tiff_uint16(tag, std::span<const std::uint16_t>(&value, 1));
}

TiffTag tiff_uint32(std::uint16_t tag, std::span<const std::uint32_t> values) {
  return {tag, TiffType::uint32, values.size(), bytes_of(values)};
}

TiffTag tiff_uint32(std::uint16_t tag, std::uint32_t value) {
  return tiff_uint32(tag, std::span<const std::uint32_t>(&value, 1));
}

TiffTag tiff_float64(std::uint16_t tag, std::span<const double> values) {
  return {tag, TiffType::float64, values.size(), bytes_of(values)};
}

std::string tiff_frame(const std::vector<TiffImage>& images, std::uint64_t classic_limit) {
  Frame classic(images, false);
  if (classic.file_size() <= classic_limit) return classic.bytes();
  return Frame(images, true).bytes();
}

}  // namespace gaugeloom
