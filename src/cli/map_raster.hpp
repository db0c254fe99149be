#pragma once
// The raster of a map: which cells, in which CRS, which bands.

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/io/geotiff_writer.hpp"
#include "gaugeloom/io/raster_frame_reader.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/storms/rain_map.hpp"
#include "option_groups.hpp"
#include "option_list.hpp"

namespace gaugeloom {

// The plane a map is computed on: that of the working CRS, or of the raster of --like.
struct MapPlane {
  std::string crs;
  std::vector<MetricPoint> points;  // the gauges on it, in the order of the network
  std::optional<RasterFrame> like;
};

struct MapRasterInput {
  std::optional<double> cell_m;
  std::optional<MetricBounds> bounds;
  std::string map_crs;
  std::string like;  // a raster; empty: none
  std::vector<MapBand> bands{kMapBands.begin(), kMapBands.end()};

  void declare(OptionList& options);
  // Throws Error{invalid_option} for rules between the options; --map-crs becomes the working CRS.
  void settle(NetworkInput& network) const;

  // Throws as read_raster_frame and CrsTransform.
  MapPlane plane(const Network& network) const;
  // The cells of the map of gauges at `points`, on `plane`.
  Grid grid(const MapPlane& plane, std::span<const MetricPoint> points) const;
};

// Sets what of the plane stands in a GeoTIFF.
void georeference(const MapPlane& plane, GeoTiffOptions& options);

// "326 x 279 cells of 200 m".
std::string cells_in_words(const MapPlane& plane, const Grid& grid);

}  // namespace gaugeloom
