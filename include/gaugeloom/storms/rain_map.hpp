#pragma once
// A map of rain totals: six bands over a grid, from one total per gauge; where it does not know, it
// says so.

#include <array>
#include <cstddef>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/geo/grid.hpp"
#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/interp/surface.hpp"
#include "gaugeloom/storms/elevation_factor.hpp"

namespace gaugeloom {

// In the order of the file. Inverse distance knows no error: error, low and high are then nodata.
enum class MapBand {
  total,     // mm
  error,     // standard error, mm
  low,       // 5 % bound, mm
  high,      // 95 % bound, mm
  distance,  // km to the nearest used gauge; valid everywhere
  support,   // 0 none, 1 weak, 2 good; valid everywhere
};
inline constexpr std::array<MapBand, 6> kMapBands = {MapBand::total,    MapBand::error,
                                                     MapBand::low,      MapBand::high,
                                                     MapBand::distance, MapBand::support};
std::string_view word(MapBand band);         // "total", "error", "low", ...
std::string_view description(MapBand band);  // for the file and for people
std::string_view unit(MapBand band);         // "mm", "km" or nothing
std::optional<MapBand> parse_map_band(std::string_view text);

// Heights, where a map takes account of them.
struct MapElevation {
  ElevationFactor factor;
  std::vector<double> gauges_m;  // of the gauges
  // Of places in the CRS of the map: writes one height for each, NaN where none is known. Called
  // from several threads at once.
  std::function<void(std::span<const MetricPoint> places, std::span<double> heights_m)> sample;
};

struct RainMapOptions {
  SurfaceOptions surface;
  std::optional<MapElevation> elevation;  // cells without a height have no support then
  // Support is lost where (variance - nugget) > lost_share (sill - nugget), or farther outside the
  // hull of the gauges than outside_spacings median spacings; it is weak above weak_share.
  double lost_share = 0.85;
  double weak_share = 0.5;  // our choice: less than half of the spread is explained
  double outside_spacings = 1.5;

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

// The totals of the gauges, ready for any grid in the same CRS.
//
//   gauges             positions in the working CRS, at least 3
//   totals_mm          one per gauge, finite, >= 0
//   standard_error_mm  of each total as read or filled, >= 0: its square is the measurement
//                      variance of the kriging system; empty = 0
//
// The bounds are total + q error, never below 0, with q the 5 % and the 95 % quantile of the
// leave-one-out errors over their standard errors at these gauges, each kept between half and
// twice that of the normal law (-1.645 and 1.645), which also holds below 20 gauges.
// With elevation, totals and their errors are divided by the factor of their gauge before, and all
// but distance and support multiplied by that of the cell after; the variogram is that of totals at
// the reference height.
// With inverse distance, support is good within one median spacing of a gauge (our choice).
// Values are rounded to 1/1024 mm (km): far below what they are worth, and it halves the file.
//
// Requires:  equal sizes. Throws: Error{invalid_option} if options.problem() has one, or for fewer
//            than 3 gauges.
class RainMap {
 public:
  RainMap(std::span<const MetricPoint> gauges, std::span<const double> totals_mm,
          std::span<const double> standard_error_mm, const RainMapOptions& options);
  ~RainMap();
  RainMap(RainMap&&) noexcept;
  RainMap& operator=(RainMap&&) noexcept;

  // Fills `bands` of a block: bands[b] stands at out[b * block.cell_count()], row by row; NaN is
  // nodata. Safe from several threads at once; a cell does not depend on the block.
  void fill(const Grid& grid, const GridBlock& block, std::span<const MapBand> bands,
            std::span<float> out) const;

  double median_spacing_m() const;

  // For other values of the same gauges, spread with the weights of this map: their surface,
  // brought to one height where the map is; the factor of height of each cell (empty where it takes
  // no account of height, NaN where none is known); and what the total band would say.
  Surface surface_of(std::span<const double> values_mm) const;
  std::vector<double> height_factors(const Grid& grid, const GridBlock& block) const;
  static float total_mm(double surface_value, double height_factor);

  // Leave-one-out at the gauges: estimate - total. From as many neighbours as the map, without the
  // soft edge (interp/surface.hpp).
  struct Skill {
    std::size_t gauges = 0;
    double bias_mm = 0;
    double rmse_mm = 0;
    double low_factor = -1.645;  // of the bounds
    double high_factor = 1.645;
  };
  const Skill& skill() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

// The standard error of a total as read: the unread rest of a bucket at both ends, b^2 / 6, and an
// error in proportion, `accuracy_percent` / 3 of the depth. mm.
double gauge_standard_error_mm(double total_mm, double bucket_mm, double accuracy_percent);

// The median distance of a point to its nearest neighbour at another place; 0 for fewer than 2
// places.
double median_spacing_m(std::span<const MetricPoint> points);

}  // namespace gaugeloom
