#include "gaugeloom/geo/hillshade.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/parallel.hpp"

namespace gaugeloom {
namespace {

constexpr double kMostExaggeration = 50;
constexpr float kNaN = std::numeric_limits<float>::quiet_NaN();

double length(const LightDirection& light) {
  return std::sqrt(light.east * light.east + light.north * light.north + light.up * light.up);
}

// Rise per metre towards east and towards north.
struct Slopes {
  double east = 0;
  double north = 0;
};

class Ground {
 public:
  Ground(const Grid& grid, std::span<const float> heights_m) : grid_(grid), heights_(heights_m) {
    GAUGELOOM_ASSERT(heights_m.size() == grid.cell_count());
  }

  float height_m(std::size_t column, std::size_t row) const {
    return heights_[row * grid_.columns + column];
  }

  Slopes slopes(std::size_t column, std::size_t row) const {
    const double west =
        at(column, row, -1, -1) + 2 * at(column, row, -1, 0) + at(column, row, -1, 1);
    const double east = at(column, row, 1, -1) + 2 * at(column, row, 1, 0) + at(column, row, 1, 1);
    const double north =
        at(column, row, -1, -1) + 2 * at(column, row, 0, -1) + at(column, row, 1, -1);
    const double south = at(column, row, -1, 1) + 2 * at(column, row, 0, 1) + at(column, row, 1, 1);
    return {(east - west) / (8 * grid_.cell_width_m), (north - south) / (8 * grid_.cell_height_m)};
  }

 private:
  double known(std::size_t column, std::size_t row, int across, int down) const {
    const std::size_t c = column + static_cast<std::size_t>(across);  // wraps below 0: off the grid
    const std::size_t r = row + static_cast<std::size_t>(down);
    if (c >= grid_.columns || r >= grid_.rows) return std::numeric_limits<double>::quiet_NaN();
    return static_cast<double>(height_m(c, r));
  }

  double at(std::size_t column, std::size_t row, int across, int down) const {
    const double there = known(column, row, across, down);
    if (!std::isnan(there)) return there;
    const auto here = static_cast<double>(height_m(column, row));
    const double opposite = known(column, row, -across, -down);
    if (!std::isnan(opposite)) return 2 * here - opposite;
    if (across == 0 || down == 0) return here;
    return at(column, row, across, 0) + at(column, row, 0, down) - here;
  }

  const Grid& grid_;
  std::span<const float> heights_;
};

}  // namespace

std::optional<std::string> HillshadeOptions::problem() const {
  if (!(length(light) > 0) || !std::isfinite(length(light)))
    return "the direction of the light must have a length above 0";
  if (!(exaggeration > 0) || !std::isfinite(exaggeration))
    return "the exaggeration of heights must be above 0";
  return std::nullopt;
}

std::vector<float> hillshade(const Grid& grid, std::span<const float> heights_m,
                             const HillshadeOptions& options, int threads) {
  if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
  const Ground ground(grid, heights_m);
  const double light_length = length(options.light);
  std::vector<float> shade(grid.cell_count(), kNaN);
  parallel_for(grid.rows, threads, [&](std::size_t row) {
    for (std::size_t column = 0; column < grid.columns; ++column) {
      if (std::isnan(ground.height_m(column, row))) continue;
      const Slopes rise = ground.slopes(column, row);
      const double east = -options.exaggeration * rise.east;
      const double north = -options.exaggeration * rise.north;
      const double facing =
          (east * options.light.east + north * options.light.north + options.light.up) /
          (std::sqrt(east * east + north * north + 1) * light_length);
      shade[row * grid.columns + column] = static_cast<float>(std::max(0.0, facing));
    }
  });
  return shade;
}

double telling_exaggeration(const Grid& grid, std::span<const float> heights_m, double slope) {
  const Ground ground(grid, heights_m);
  std::vector<float> squares;
  squares.reserve(grid.cell_count());
  for (std::size_t row = 0; row < grid.rows; ++row)
    for (std::size_t column = 0; column < grid.columns; ++column) {
      if (std::isnan(ground.height_m(column, row))) continue;
      const Slopes rise = ground.slopes(column, row);
      squares.push_back(static_cast<float>(rise.east * rise.east + rise.north * rise.north));
    }
  if (squares.empty()) return 1;
  const auto steep = squares.begin() + static_cast<std::ptrdiff_t>((squares.size() - 1) * 19 / 20);
  std::nth_element(squares.begin(), steep, squares.end());
  if (!(*steep > 0)) return 1;
  return std::min(kMostExaggeration, slope / std::sqrt(static_cast<double>(*steep)));
}

}  // namespace gaugeloom
