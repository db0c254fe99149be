#pragma once
// Writes cloud-optimised GeoTIFF of any size in bounded memory: tiles of 512 x 512, float32,
// Deflate, overviews, statistics, provenance.
// Sources: TIFF 6.0 (Adobe 1992) with Technical Note 3 (floating point predictor); OGC 19-008r4
// GeoTIFF 1.1; OGC 21-026 Cloud Optimized GeoTIFF.

#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "gaugeloom/geo/grid.hpp"

namespace gaugeloom {

inline constexpr float kGeoTiffNodata = -9999.0F;

enum class OverviewRule {
  average,  // mean of the valid ones of 2 x 2 cells
  mode,     // the most frequent of them, the lowest on a tie
};

struct GeoTiffBand {
  std::string description;  // "total rain"
  std::string unit;         // "mm"; may be empty
  OverviewRule overviews = OverviewRule::average;
};

struct GeoTiffOptions {
  std::string crs;  // anything PROJ reads; "local" = plain metres without a place on Earth
  std::optional<CellFrame> cells;  // where the CRS does not count in the grid's metres
  std::vector<std::pair<std::string, std::string>> metadata;  // key and value, in this order
  int compression_level = 6;                                  // libdeflate, 1 (fast) to 12 (small)
  int threads = 0;  // 0 = all cores; the bytes do not depend on it
  // Compressed tiles beyond this go to a file beside the output until the end.
  std::size_t memory_bytes = std::size_t{64} << 20;
  std::uint64_t classic_limit = 0xFFFFFFFFULL;  // BigTIFF beyond; lower for tests
  long fail_at_call = 0;                        // for tests: as AtomicFileOptions
};

// Fills a block of every band: band b of the block stands at out[b * block.cell_count()], row by
// row, NaN = nodata. Called once per block, from several threads at once, in no fixed order.
using GeoTiffFill = std::function<void(const GridBlock& block, std::span<float> out)>;

struct GeoTiffStatistics {  // of one band at full size; NaN without a valid cell
  std::size_t valid_cells = 0;
  double minimum = 0;
  double maximum = 0;
  double mean = 0;
  double standard_deviation = 0;
};

// Writes `path`, which appears whole or not at all, and returns the statistics of each band.
// BigTIFF where the file passes 4 GiB.
//
// Throws: Error{io_failure} naming the file when the disk is full or the folder refuses;
//         Error{unsupported_crs} for a CRS that is unknown; Error{invalid_option} for a grid with
//         a problem() or no bands. What `fill` throws passes through. No file is left behind.
// Memory: bands x (1 MiB per thread + 2 KiB per column) + memory_bytes.
std::vector<GeoTiffStatistics> write_geotiff(const std::string& path, const Grid& grid,
                                             std::span<const GeoTiffBand> bands,
                                             const GeoTiffOptions& options,
                                             const GeoTiffFill& fill);

}  // namespace gaugeloom
