#pragma once
// storms.gpkg: the gauges, isohyets and areas of all storms as layers of one GeoPackage.
// Source: OGC 12-128r17 GeoPackage 1.3; OGC 05-078r4 Styled Layer Descriptor.

#include <functional>
#include <span>

#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/storms/area_rain.hpp"
#include "gaugeloom/storms/storm.hpp"
#include "gaugeloom/storms/storm_gauges.hpp"
#include "gaugeloom/storms/storm_surface.hpp"

namespace gaugeloom {

struct StormsPackage {
  const Network& network;
  std::span<const Storm> storms;
  std::span<const StormGauge> gauges;  // those of storm_gauges
  std::span<const Area> areas;         // may be empty: no layer `areas` then
  std::span<const StormArea> storm_areas;
  std::function<StormSurface(std::size_t storm)> surface;  // asked once for each storm
};

// Writes to the temporary path of `file`, in the working CRS of the network, layers in this order:
//   gauges        points: storm,gauge,name,total_mm,low_mm,high_mm,standard_error_mm,share_filled,
//                 share_missing,quality,others_mm (its total as the other gauges tell it),
//                 misfit_mm (total - others)
//   isohyets      lines: storm,depth_mm; at the round classes of storms/rain_classes.hpp
//   isohyet_bands polygons between them: storm,from_mm,to_mm
//   areas         polygons: storm,area,name and the columns of storm_areas.csv
//   layer_styles  a table with two styles for each layer, as Styled Layer Descriptor: by default of
//                 the storm with the largest mean total alone, and one of all storms
// What is unknown is null. Same input, same bytes, with the same version of GDAL and SQLite: the
// time of the last change that a GeoPackage must hold is the end of the last storm.
// Throws: Error{io_failure} naming the file.
void write_storms_gpkg(const StagedPath& file, const StormsPackage& package);

}  // namespace gaugeloom
