#pragma once
// A raster of equal cells over a part of a metric CRS: row 0 is the northernmost, column 0 the
// westernmost, as in a GeoTIFF.

#include <cstddef>
#include <optional>
#include <span>
#include <string>

#include "gaugeloom/geo/position.hpp"

namespace gaugeloom {

// Requires x_min_m < x_max_m and y_min_m < y_max_m.
struct MetricBounds {
  double x_min_m = 0;
  double y_min_m = 0;
  double x_max_m = 0;
  double y_max_m = 0;
};

struct Grid {
  double x_min_m = 0;  // the western edge of column 0
  double y_max_m = 0;  // the northern edge of row 0
  double cell_width_m = 1000;
  double cell_height_m = 1000;
  std::size_t columns = 0;
  std::size_t rows = 0;

  std::size_t cell_count() const { return columns * rows; }
  // Centres; the same bits wherever they are asked from.
  double centre_x_m(std::size_t column) const {
    return x_min_m + (static_cast<double>(column) + 0.5) * cell_width_m;
  }
  double centre_y_m(std::size_t row) const {
    return y_max_m - (static_cast<double>(row) + 0.5) * cell_height_m;
  }
  MetricPoint centre(std::size_t column, std::size_t row) const {
    return {centre_x_m(column), centre_y_m(row)};
  }
  MetricBounds bounds() const;

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
  bool operator==(const Grid&) const = default;
};

// The upper left corner and the cells of a grid in the unit of a CRS that counts in something other
// than the grid's metres, such as degrees.
struct CellFrame {
  double x_min = 0;
  double y_max = 0;
  double cell_width = 0;
  double cell_height = 0;
};

// Hard limits of a grid, our choice: columns keep a row of tiles in memory, and a float32 band of
// this many cells is 40 GB.
inline constexpr std::size_t kMaxGridSide = 200'000;
inline constexpr std::size_t kMaxGridCells = 10'000'000'000;

// The cells of `cell_m` that cover `bounds`, the upper left corner kept, the last column and row
// complete (a rest below a millionth of a cell adds none).
// Throws: Error{invalid_option} for bounds that are empty or not finite, a cell that is not above
//         0, or a grid beyond the limits; the sentence says the smallest cell that would fit.
Grid grid_over(const MetricBounds& bounds, double cell_m);

// The box around points, widened by a margin on every side. Requires at least one point.
MetricBounds bounds_around(std::span<const MetricPoint> points, double margin_m);

// A rectangle of cells of a grid.
struct GridBlock {
  std::size_t first_column = 0;
  std::size_t first_row = 0;
  std::size_t columns = 0;
  std::size_t rows = 0;

  std::size_t cell_count() const { return columns * rows; }
};

}  // namespace gaugeloom
