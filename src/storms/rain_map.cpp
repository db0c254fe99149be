#include "gaugeloom/storms/rain_map.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <vector>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/geo/gauge_index.hpp"
#include "gaugeloom/interp/record_leave_one_out.hpp"
#include "storms/hull_internal.hpp"
#include "storms/left_out_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::array<std::string_view, 6> kWords = {"total", "error",    "low",
                                                    "high",  "distance", "support"};
constexpr std::array<std::string_view, 6> kDescriptions = {"total rain",
                                                           "standard error of the total",
                                                           "5 % bound of the total",
                                                           "95 % bound of the total",
                                                           "distance to the nearest used gauge",
                                                           "support: 0 none, 1 weak, 2 good"};
constexpr double kNormal90 = 1.6448536269514722;  // 95 % quantile of the standard normal law
constexpr std::size_t kFewestForBounds = 20;      // our choice: 1 in 20 must have happened once

// To the nearest 1/1024: adding 1.5 * 2^52 leaves no room for less than 1.
float rounded(double value) {
  constexpr double kRound = 6755399441055744.0;
  return static_cast<float>((value * 1024 + kRound - kRound) / 1024);
}

// Linear between the sorted values (type 7 of Hyndman and Fan, The American Statistician 50, 1996).
double quantile(const std::vector<double>& sorted, double share) {
  const double at = share * static_cast<double>(sorted.size() - 1);
  const auto below = static_cast<std::size_t>(at);
  const std::size_t above = std::min(below + 1, sorted.size() - 1);
  return sorted[below] + (at - static_cast<double>(below)) * (sorted[above] - sorted[below]);
}

// The factor of elevation of every gauge; 1 where the map takes no account of it.
std::vector<double> gauge_factors(const RainMapOptions& options, std::size_t gauges) {
  std::vector<double> factors(gauges, 1.0);
  if (!options.elevation) return factors;
  GAUGELOOM_ASSERT(options.elevation->gauges_m.size() == gauges);
  for (std::size_t i = 0; i < gauges; ++i)
    factors[i] = options.elevation->factor.at(options.elevation->gauges_m[i]);
  return factors;
}

std::vector<double> divided(std::span<const double> values, std::span<const double> by) {
  std::vector<double> result;
  for (std::size_t i = 0; i < values.size(); ++i) result.push_back(values[i] / by[i]);
  return result;
}

// `totals` and `noise` as brought to one height, `factors` what they were divided by.
RainMap::Skill measure_skill(std::span<const MetricPoint> gauges, std::span<const double> totals,
                             std::span<const double> noise, std::span<const double> factors,
                             const SurfaceOptions& options) {
  const std::vector<float> values(totals.begin(), totals.end());
  RecordLeaveOneOutOptions left_out = left_out_options(options);
  for (const double variance : noise)
    left_out.relative_noise.push_back(variance / options.variogram.sill());
  LeaveOneOutBlock estimates;
  RecordLeaveOneOut(gauges, options.variogram, left_out)
      .run({values, gauges.size(), 1}, {}, 0, 1, estimates);
  RainMap::Skill skill;
  std::vector<double> standardised;
  double squares = 0;
  for (std::size_t i = 0; i < totals.size(); ++i) {
    if (std::isnan(estimates.estimate[i])) continue;
    const double error = (std::max(0.0, estimates.estimate[i]) - totals[i]) * factors[i];
    ++skill.gauges;
    skill.bias_mm += error;
    squares += error * error;
    if (estimates.variance[i] > 0)
      standardised.push_back(-error / (std::sqrt(estimates.variance[i]) * factors[i]));
  }
  if (skill.gauges > 0) {
    skill.bias_mm /= static_cast<double>(skill.gauges);
    skill.rmse_mm = std::sqrt(squares / static_cast<double>(skill.gauges));
  }
  skill.low_factor = -kNormal90;
  skill.high_factor = kNormal90;
  if (standardised.size() < kFewestForBounds) return skill;
  std::sort(standardised.begin(), standardised.end());
  skill.low_factor = std::clamp(quantile(standardised, 0.05), -2 * kNormal90, -0.5 * kNormal90);
  skill.high_factor = std::clamp(quantile(standardised, 0.95), 0.5 * kNormal90, 2 * kNormal90);
  return skill;
}

std::vector<double> squared(std::span<const double> standard_errors) {
  std::vector<double> squares;
  for (const double error : standard_errors) squares.push_back(error * error);
  return squares;
}

void require_valid(const RainMapOptions& options, std::size_t gauges) {
  if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
  if (gauges < 3)
    throw Error(ErrorCode::invalid_option,
                fmt::format("a map needs 3 gauges or more with a total, there are {}", gauges));
}

}  // namespace

std::string_view word(MapBand band) { return kWords[static_cast<std::size_t>(band)]; }

std::string_view description(MapBand band) { return kDescriptions[static_cast<std::size_t>(band)]; }

std::string_view unit(MapBand band) {
  if (band == MapBand::support) return "";
  return band == MapBand::distance ? "km" : "mm";
}

std::optional<MapBand> parse_map_band(std::string_view text) {
  for (const MapBand band : kMapBands)
    if (word(band) == text) return band;
  return std::nullopt;
}

std::optional<std::string> RainMapOptions::problem() const {
  if (const auto found = surface.problem()) return found;
  if (!(lost_share > 0 && lost_share <= 1) || !(weak_share > 0 && weak_share <= lost_share))
    return fmt::format("support is weak above {} and lost above {}; give 0 < weak <= lost <= 1",
                       weak_share, lost_share);
  if (!(outside_spacings >= 0))
    return fmt::format("support reaches {} spacings outside; give 0 or more", outside_spacings);
  return std::nullopt;
}

struct RainMap::Impl {
  RainMapOptions options;
  std::vector<MetricPoint> gauges;
  std::vector<double> noise, factors;  // of the gauges: variance at one height, height
  Surface surface;
  ConvexHull hull;
  double spacing_m;
  Skill skill;

  // What one block holds before it is written.
  struct Cells {
    std::vector<double> value, variance, nearest_m;
    std::vector<std::uint8_t> support;
    std::vector<double> factor;  // of elevation; empty where the map takes no account of it
  };

  bool kriging() const { return options.surface.method == InterpolationMethod::ordinary_kriging; }

  // Support by explained spread (kriging) or distance to the nearest gauge.
  std::uint8_t support_at(const Cells& cells, std::size_t i) const {
    if (cells.value[i] != cells.value[i]) return 0;
    if (!kriging()) return cells.nearest_m[i] <= spacing_m ? 2 : 1;
    const Variogram& v = options.surface.variogram;
    const double structured = cells.variance[i] - v.nugget;
    if (!(structured <= options.lost_share * v.partial_sill)) return 0;
    return structured > options.weak_share * v.partial_sill ? 1 : 2;
  }

  void find_support(const Grid& grid, const GridBlock& block, Cells& cells) const {
    const double reach_m = options.outside_spacings * spacing_m;
    const bool inside = hull.contains_box(
        grid.centre(block.first_column, block.first_row),
        grid.centre(block.first_column + block.columns - 1, block.first_row + block.rows - 1));
    for (std::size_t row = 0; row < block.rows; ++row)
      for (std::size_t column = 0; column < block.columns; ++column) {
        const std::size_t i = row * block.columns + column;
        cells.support[i] = support_at(cells, i);
        if (inside || cells.support[i] == 0) continue;
        const MetricPoint centre = grid.centre(block.first_column + column, block.first_row + row);
        if (hull.distance_m(centre) > reach_m) cells.support[i] = 0;
      }
  }

  std::vector<double> height_factors(const Grid& grid, const GridBlock& block) const {
    std::vector<double> of_cells;
    if (!options.elevation) return of_cells;
    std::vector<MetricPoint> places;
    for (std::size_t row = 0; row < block.rows; ++row)
      for (std::size_t column = 0; column < block.columns; ++column)
        places.push_back(grid.centre(block.first_column + column, block.first_row + row));
    of_cells.resize(places.size());
    options.elevation->sample(places, of_cells);
    for (double& factor : of_cells) factor = options.elevation->factor.at(factor);
    return of_cells;
  }

  // Cells without a height lose their support.
  void find_factors(const Grid& grid, const GridBlock& block, Cells& cells) const {
    cells.factor = height_factors(grid, block);
    for (std::size_t i = 0; i < cells.factor.size(); ++i)
      if (std::isnan(cells.factor[i])) cells.support[i] = 0;
  }

  float band_value(MapBand band, const Cells& cells, std::size_t i) const {
    if (band == MapBand::distance) return rounded(cells.nearest_m[i] / 1000);
    if (band == MapBand::support) return static_cast<float>(cells.support[i]);
    if (cells.support[i] == 0) return std::numeric_limits<float>::quiet_NaN();
    const double factor = cells.factor.empty() ? 1 : cells.factor[i];
    if (band == MapBand::total) return total_mm(cells.value[i], factor);
    const double total = std::max(0.0, cells.value[i]) * factor;
    if (!kriging()) return std::numeric_limits<float>::quiet_NaN();
    const double error = std::sqrt(cells.variance[i]) * factor;
    if (band == MapBand::error) return rounded(error);
    if (band == MapBand::low) return rounded(std::max(0.0, total + skill.low_factor * error));
    return rounded(total + skill.high_factor * error);
  }
};

RainMap::RainMap(std::span<const MetricPoint> gauges, std::span<const double> totals_mm,
                 std::span<const double> standard_error_mm, const RainMapOptions& options) {
  require_valid(options, gauges.size());
  GAUGELOOM_ASSERT(totals_mm.size() == gauges.size());
  const std::vector<double> factors = gauge_factors(options, gauges.size());
  const std::vector<double> totals = divided(totals_mm, factors);
  const std::vector<double> noise = squared(divided(standard_error_mm, factors));
  impl_.reset(new Impl{options,
                       {gauges.begin(), gauges.end()},
                       noise,
                       factors,
                       Surface(gauges, totals, noise, options.surface),
                       ConvexHull(gauges),
                       gaugeloom::median_spacing_m(gauges),
                       measure_skill(gauges, totals, noise, factors, options.surface)});
}

RainMap::~RainMap() = default;
RainMap::RainMap(RainMap&&) noexcept = default;
RainMap& RainMap::operator=(RainMap&&) noexcept = default;

double RainMap::median_spacing_m() const { return impl_->spacing_m; }
const RainMap::Skill& RainMap::skill() const { return impl_->skill; }

Surface RainMap::surface_of(std::span<const double> values_mm) const {
  GAUGELOOM_ASSERT(values_mm.size() == impl_->gauges.size());
  return {impl_->gauges, divided(values_mm, impl_->factors), impl_->noise, impl_->options.surface};
}

std::vector<double> RainMap::height_factors(const Grid& grid, const GridBlock& block) const {
  return impl_->height_factors(grid, block);
}

float RainMap::total_mm(double surface_value, double height_factor) {
  return rounded(std::max(0.0, surface_value) * height_factor);
}

void RainMap::fill(const Grid& grid, const GridBlock& block, std::span<const MapBand> bands,
                   std::span<float> out) const {
  const std::size_t count = block.cell_count();
  GAUGELOOM_ASSERT(out.size() == bands.size() * count);
  Impl::Cells cells{std::vector<double>(count),
                    {},
                    std::vector<double>(count),
                    std::vector<std::uint8_t>(count),
                    {}};
  if (impl_->kriging()) cells.variance.resize(count);
  impl_->surface.compute(grid, block, {cells.value, cells.variance, cells.nearest_m});
  impl_->find_support(grid, block, cells);
  impl_->find_factors(grid, block, cells);
  for (std::size_t band = 0; band < bands.size(); ++band)
    for (std::size_t i = 0; i < count; ++i)
      out[band * count + i] = impl_->band_value(bands[band], cells, i);
}

double gauge_standard_error_mm(double total_mm, double bucket_mm, double accuracy_percent) {
  const double proportional = accuracy_percent / 300 * total_mm;
  return std::sqrt(bucket_mm * bucket_mm / 6 + proportional * proportional);
}

double median_spacing_m(std::span<const MetricPoint> points) {
  const GaugeIndex index(points);
  std::vector<double> spacings;
  for (const MetricPoint& point : points)
    for (std::size_t count = 2;; count *= 8) {
      const auto near = index.nearest(point, count);
      const auto other = std::find_if(near.begin(), near.end(),
                                      [](const Neighbour& n) { return n.distance_m > 0; });
      if (other != near.end()) spacings.push_back(other->distance_m);
      if (other != near.end() || near.size() < count) break;
    }
  if (spacings.empty()) return 0;
  std::sort(spacings.begin(), spacings.end());
  return quantile(spacings, 0.5);
}

}  // namespace gaugeloom
