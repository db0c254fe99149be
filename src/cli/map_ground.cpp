#include "map_ground.hpp"

#include <fmt/format.h>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/io/elevation_reader.hpp"
#include "map_job.hpp"

namespace gaugeloom {
namespace {

void take_from_the_list(const Network& network, const std::string& raster,
                        std::vector<double>& heights_m) {
  for (std::size_t g = 0; g < network.size(); ++g) {
    if (heights_m[g] == heights_m[g]) continue;
    if (!network.gauges[g].elevation_m)
      throw Error(ErrorCode::inconsistent_input,
                  fmt::format("gauge {} lies where the raster {} has no height, and the list of "
                              "gauges gives none: give elevation_m there, or --elevation-use never",
                              network.gauges[g].id, raster));
    heights_m[g] = *network.gauges[g].elevation_m;
  }
}

}  // namespace

MapGround::MapGround(const MapInput& input, const Network& network)
    : plane(input.raster.plane(network)), grid(input.raster.grid(plane, plane.points)) {
  if (input.elevation.empty()) return;
  std::vector<double> heights = heights_m(input.elevation, plane.points);
  if (input.elevation_use == ElevationUse::never) return;
  take_from_the_list(network, input.elevation, heights);
  gauge_heights_m = std::move(heights);
}

std::vector<double> MapGround::heights_m(const std::string& raster,
                                         std::span<const MetricPoint> points) const {
  std::vector<MetricPoint> places(points.begin(), points.end());
  if (plane.like)
    for (MetricPoint& place : places) {
      place.x_m *= plane.like->units_per_metre_x;
      place.y_m *= plane.like->units_per_metre_y;
    }
  return sample_elevation(raster, plane.crs, places);
}

}  // namespace gaugeloom
