#include "gaugeloom/io/geotiff_writer.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <limits>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/io/atomic_file.hpp"
#include "io/geo_keys_internal.hpp"
#include "io/tiff_layout_internal.hpp"
#include "io/tiff_tiles_internal.hpp"

namespace gaugeloom {
namespace {

// The full raster or one of its overviews.
struct Level {
  std::size_t columns = 0;
  std::size_t rows = 0;
  std::size_t first_tile = 0;   // in the store
  std::vector<float> tile_row;  // overviews: the row of tiles being filled, bands one by one
  std::size_t tile_columns() const { return (columns + kTileSide - 1) / kTileSide; }
  std::size_t tile_rows() const { return (rows + kTileSide - 1) / kTileSide; }
  std::size_t stride() const { return tile_columns() * kTileSide; }
  std::size_t tiles() const { return tile_columns() * tile_rows(); }
};

std::vector<Level> levels_of(const Grid& grid, std::size_t bands) {
  std::vector<Level> levels = {{grid.columns, grid.rows, 0, {}}};
  while (levels.back().columns > kTileSide || levels.back().rows > kTileSide) {
    const Level& last = levels.back();
    Level next{
        (last.columns + 1) / 2, (last.rows + 1) / 2, last.first_tile + last.tiles() * bands, {}};
    next.tile_row.assign(bands * next.stride() * kTileSide,
                         std::numeric_limits<float>::quiet_NaN());
    levels.push_back(std::move(next));
  }
  return levels;
}

class Pyramid {
 public:
  Pyramid(const std::string& path, const Grid& grid, std::span<const GeoTiffBand> bands,
          const GeoTiffOptions& options, const GeoTiffFill& fill)
      : grid_(grid),
        bands_(bands),
        options_(options),
        fill_(fill),
        levels_(levels_of(grid, bands.size())),
        store_(path, levels_.back().first_tile + levels_.back().tiles() * bands.size(),
               options.memory_bytes),
        statistics_(levels_[0].tiles() * bands.size()) {}

  // Fills and compresses every tile, two rows of tiles at a time: that makes one of the overview.
  void build() {
    const std::size_t across = levels_[0].tile_columns();
    for (std::size_t row = 0; row < levels_[0].tile_rows(); row += 2) {
      const std::size_t rows = std::min<std::size_t>(2, levels_[0].tile_rows() - row);
      parallel_for(rows * across, options_.threads,
                   [&](std::size_t i) { full_tile(i % across, row + i / across); });
      if (levels_.size() > 1) overview_row(1, row / 2);
    }
  }

  std::vector<GeoTiffStatistics> statistics() const {
    std::vector<GeoTiffStatistics> all;
    for (std::size_t band = 0; band < bands_.size(); ++band) {
      RunningStatistics joined;
      for (std::size_t tile = 0; tile < levels_[0].tiles(); ++tile)
        joined.join(statistics_[tile * bands_.size() + band]);
      all.push_back(joined.result());
    }
    return all;
  }

  const std::vector<Level>& levels() const { return levels_; }
  const TileStore& store() const { return store_; }

 private:
  void full_tile(std::size_t tile_column, std::size_t tile_row) {
    const GridBlock block = {tile_column * kTileSide, tile_row * kTileSide,
                             std::min(kTileSide, grid_.columns - tile_column * kTileSide),
                             std::min(kTileSide, grid_.rows - tile_row * kTileSide)};
    std::vector<float> values(bands_.size() * block.cell_count());
    fill_(block, values);
    TileEncoder encoder(options_.compression_level);
    for (std::size_t band = 0; band < bands_.size(); ++band) {
      const std::span<const float> of_band =
          std::span<const float>(values).subspan(band * block.cell_count(), block.cell_count());
      const std::size_t tile = tile_row * levels_[0].tile_columns() + tile_column;
      statistics_[tile * bands_.size() + band] = RunningStatistics::of(of_band);
      put_tile(0, band, tile_column, tile_row, encoder, of_band.data(), block.columns);
    }
  }

  // Compresses a tile of a level, and halves it into the next.
  void put_tile(std::size_t level, std::size_t band, std::size_t tile_column, std::size_t tile_row,
                TileEncoder& encoder, const float* values, std::size_t stride) {
    const Level& here = levels_[level];
    const std::size_t columns = std::min(kTileSide, here.columns - tile_column * kTileSide);
    const std::size_t rows = std::min(kTileSide, here.rows - tile_row * kTileSide);
    store_.put(here.first_tile + band * here.tiles() + tile_row * here.tile_columns() + tile_column,
               encoder.encode(values, columns, rows, stride));
    if (level + 1 == levels_.size()) return;
    Level& next = levels_[level + 1];
    float* const to = next.tile_row.data() + band * next.stride() * kTileSide +
                      tile_row % 2 * (kTileSide / 2) * next.stride() + tile_column * kTileSide / 2;
    halve(values, columns, rows, stride, bands_[band].overviews, to, next.stride());
  }

  // A row of tiles of an overview is complete: compresses it, and perhaps the rows above it.
  void overview_row(std::size_t level, std::size_t tile_row) {
    Level& here = levels_[level];
    parallel_for(here.tile_columns(), options_.threads, [&](std::size_t tile_column) {
      TileEncoder encoder(options_.compression_level);
      for (std::size_t band = 0; band < bands_.size(); ++band)
        put_tile(level, band, tile_column, tile_row, encoder,
                 here.tile_row.data() + band * here.stride() * kTileSide + tile_column * kTileSide,
                 here.stride());
    });
    const bool last = tile_row + 1 == here.tile_rows();
    if (level + 1 < levels_.size() && (tile_row % 2 == 1 || last))
      overview_row(level + 1, tile_row / 2);
  }

  const Grid& grid_;
  std::span<const GeoTiffBand> bands_;
  const GeoTiffOptions& options_;
  const GeoTiffFill& fill_;
  std::vector<Level> levels_;
  TileStore store_;
  std::vector<RunningStatistics> statistics_;  // by tile, then band
};

std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '&')
      out += "&amp;";
    else if (c == '<')
      out += "&lt;";
    else if (c == '>')
      out += "&gt;";
    else if (c == '"')
      out += "&quot;";
    else
      out += c;
  }
  return out;
}

// GDAL unescapes the values twice.
std::string twice_escaped(std::string_view text) { return escaped(escaped(text)); }

std::string number(double value) { return fmt::format("{:.9g}", value); }

// The content of GDAL's own tag. Source: GDAL documentation, "GTiff driver", section "Metadata".
std::string gdal_metadata(const Grid& grid, std::span<const GeoTiffBand> bands,
                          const std::vector<GeoTiffStatistics>& statistics,
                          const GeoTiffOptions& options) {
  std::string xml = "<GDALMetadata>\n";
  for (const auto& [key, value] : options.metadata)
    xml += fmt::format("  <Item name=\"{}\">{}</Item>\n", escaped(key), twice_escaped(value));
  for (std::size_t band = 0; band < bands.size(); ++band) {
    const auto item = [&](const char* name, const std::string& value, const char* role = "") {
      if (value.empty()) return;
      xml += fmt::format("  <Item name=\"{}\" sample=\"{}\"{}>{}</Item>\n", name, band, role,
                         twice_escaped(value));
    };
    item("DESCRIPTION", bands[band].description, " role=\"description\"");
    item("UNITTYPE", bands[band].unit, " role=\"unittype\"");
    const GeoTiffStatistics& s = statistics[band];
    if (s.valid_cells == 0) continue;
    item("STATISTICS_MINIMUM", number(s.minimum));
    item("STATISTICS_MAXIMUM", number(s.maximum));
    item("STATISTICS_MEAN", number(s.mean));
    item("STATISTICS_STDDEV", number(s.standard_deviation));
    item("STATISTICS_VALID_PERCENT",
         fmt::format("{:.4g}", 100.0 * static_cast<double>(s.valid_cells) /
                                   static_cast<double>(grid.cell_count())));
  }
  return xml + "</GDALMetadata>\n";
}

std::vector<TiffTag> image_tags(const Level& level, std::size_t bands, bool overview) {
  const auto samples = static_cast<std::uint16_t>(bands);
  const std::vector<std::uint16_t> bits(bands, 32), floating(bands, 3), extra(bands - 1, 0);
  std::vector<TiffTag> tags = {tiff_uint32(256, static_cast<std::uint32_t>(level.columns)),
                               tiff_uint32(257, static_cast<std::uint32_t>(level.rows)),
                               tiff_uint16(258, bits),
                               tiff_uint16(259, std::uint16_t{8}),  // Deflate
                               tiff_uint16(262, std::uint16_t{1}),  // black is zero
                               tiff_uint16(277, samples),
                               tiff_uint16(284, std::uint16_t{2}),  // bands one after the other
                               tiff_uint16(317, std::uint16_t{3}),  // floating point predictor
                               tiff_uint32(322, std::uint32_t{kTileSide}),
                               tiff_uint32(323, std::uint32_t{kTileSide}),
                               tiff_uint16(339, floating),
                               tiff_ascii(42113, fmt::format("{}", kGeoTiffNodata))};
  if (overview) tags.push_back(tiff_uint32(254, std::uint32_t{1}));
  if (bands > 1) tags.push_back(tiff_uint16(338, extra));
  return tags;
}

std::vector<TiffImage> images_of(const Pyramid& pyramid, std::size_t bands,
                                 std::vector<TiffTag> of_the_first) {
  std::vector<TiffImage> images;
  for (const Level& level : pyramid.levels()) {
    TiffImage image{image_tags(level, bands, !images.empty()), {}};
    if (images.empty())
      image.tags.insert(image.tags.end(), of_the_first.begin(), of_the_first.end());
    for (std::size_t tile = 0; tile < level.tiles() * bands; ++tile)
      image.tile_bytes.push_back(pyramid.store().size(level.first_tile + tile));
    images.push_back(std::move(image));
  }
  return images;
}

void write_tiles(const Pyramid& pyramid, std::size_t bands, AtomicFile& file) {
  std::vector<char> tile;
  for (std::size_t level = pyramid.levels().size(); level-- > 0;) {
    const Level& here = pyramid.levels()[level];
    for (std::size_t i = 0; i < here.tiles() * bands; ++i) {
      pyramid.store().get(here.first_tile + i, tile);
      const std::uint32_t size = pyramid.store().size(here.first_tile + i);
      std::array<char, 4> leader{};
      for (std::size_t b = 0; b < 4; ++b) leader[b] = static_cast<char>(size >> (8 * b) & 0xFFU);
      file.write({leader.data(), leader.size()});
      file.write({tile.data(), tile.size()});
      file.write({tile.data() + tile.size() - 4, 4});
    }
  }
}

}  // namespace

std::vector<GeoTiffStatistics> write_geotiff(const std::string& path, const Grid& grid,
                                             std::span<const GeoTiffBand> bands,
                                             const GeoTiffOptions& options,
                                             const GeoTiffFill& fill) {
  if (const auto problem = grid.problem()) throw Error(ErrorCode::invalid_option, *problem);
  if (bands.empty() || bands.size() > 1000)
    throw Error(ErrorCode::invalid_option, "a GeoTIFF takes 1 to 1000 bands");
  if (options.compression_level < 1 || options.compression_level > 12)
    throw Error(ErrorCode::invalid_option, "the compression level must be 1 to 12");
  AtomicFile file(path, {options.fail_at_call});  // refuses a bad folder before the work
  std::vector<TiffTag> tags = geo_key_tags(options.crs);
  const CellFrame cells = options.cells.value_or(
      CellFrame{grid.x_min_m, grid.y_max_m, grid.cell_width_m, grid.cell_height_m});
  const std::array<double, 3> scale = {cells.cell_width, cells.cell_height, 0};
  const std::array<double, 6> corner = {0, 0, 0, cells.x_min, cells.y_max, 0};
  tags.push_back(tiff_float64(33550, scale));
  tags.push_back(tiff_float64(33922, corner));
  Pyramid pyramid(path, grid, bands, options, fill);
  pyramid.build();
  const std::vector<GeoTiffStatistics> statistics = pyramid.statistics();
  tags.push_back(tiff_ascii(42112, gdal_metadata(grid, bands, statistics, options)));
  file.write(tiff_frame(images_of(pyramid, bands.size(), std::move(tags)), options.classic_limit));
  write_tiles(pyramid, bands.size(), file);
  file.commit();
  return statistics;
}

}  // namespace gaugeloom
