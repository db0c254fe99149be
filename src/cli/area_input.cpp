#include "area_input.hpp"

#include "gaugeloom/io/area_reader.hpp"
#include "loading.hpp"

namespace gaugeloom {

void AreaInput::declare(OptionList& options) {
  options.path("areas", "SOURCE", source,
               "Catchments: polygons with an id, from anything GDAL opens (GeoJSON, GeoPackage, "
               "Shapefile, a PostGIS table).");
  options.text("areas-layer", "NAME", layer, "Layer of the areas, when there are several.");
  options.text("areas-id", "FIELD", id_field,
               "Field with the ids of the areas; default the first of area, catchment, id, name "
               "that is there.");
}

std::vector<Area> AreaInput::read(const Network& network, Streams io) const {
  if (source.empty()) return {};
  std::vector<std::string> notices;
  std::vector<Area> areas = read_areas(source, network.working_crs, {layer, id_field, {}}, notices);
  print_notices(notices, io);
  return areas;
}

}  // namespace gaugeloom
