#pragma once
// The tiles of a GeoTIFF: compressed, kept until the file can be written, and halved for overviews.

#include <cstddef>
#include <cstdint>
#include <memory>
#include <mutex>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/io/geotiff_writer.hpp"

struct libdeflate_compressor;

namespace gaugeloom {

inline constexpr std::size_t kTileSide = 512;

// Compresses tiles on one thread.
class TileEncoder {
 public:
  explicit TileEncoder(int level);
  ~TileEncoder();
  TileEncoder(const TileEncoder&) = delete;
  TileEncoder& operator=(const TileEncoder&) = delete;

  // rows x columns values (at most kTileSide each) with `stride` values from row to row; NaN is
  // written as nodata, and what is missing of a full tile repeats the last column and row. The
  // bytes are valid until the next call.
  std::span<const char> encode(const float* values, std::size_t columns, std::size_t rows,
                               std::size_t stride);

 private:
  libdeflate_compressor* compressor_;
  std::vector<unsigned char> predicted_;
  std::vector<char> compressed_;
};

// Compressed tiles in any order, from several threads: in memory up to a limit, then in a file
// beside `path` that has no name and vanishes with its owner.
class TileStore {
 public:
  TileStore(std::string path, std::size_t tiles, std::size_t memory_bytes);
  ~TileStore();
  TileStore(const TileStore&) = delete;
  TileStore& operator=(const TileStore&) = delete;

  void put(std::size_t tile, std::span<const char> bytes);
  std::uint32_t size(std::size_t tile) const { return tiles_[tile].size; }
  // Reads a tile back into `out`.
  void get(std::size_t tile, std::vector<char>& out) const;

 private:
  struct Tile {
    std::unique_ptr<char[]> memory;
    std::uint64_t offset = 0;
    std::uint32_t size = 0;
  };
  [[noreturn]] void refuse(int code) const;
  std::string path_;
  std::vector<Tile> tiles_;
  std::mutex mutex_;
  std::size_t memory_left_;
  std::uint64_t spilled_ = 0;
  int descriptor_ = -1;
};

// Halves rows x columns values by the rule into ceil(rows / 2) x ceil(columns / 2).
void halve(const float* from, std::size_t columns, std::size_t rows, std::size_t from_stride,
           OverviewRule rule, float* to, std::size_t to_stride);

// Statistics that can be joined.
struct RunningStatistics {
  double count = 0;
  double minimum = 0;
  double maximum = 0;
  double mean = 0;
  double squares = 0;  // sum of squared deviations from the mean

  static RunningStatistics of(std::span<const float> values);  // NaN left out
  // Source: T. Chan, G. Golub and R. LeVeque, The American Statistician 37 (1983), p. 242.
  void join(const RunningStatistics& other);
  GeoTiffStatistics result() const;
};

}  // namespace gaugeloom
