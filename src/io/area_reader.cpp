#include "gaugeloom/io/area_reader.hpp"

#include <fmt/format.h>

#include <set>

#include "gaugeloom/geo/work_crs.hpp"
#include "io/vector_source_internal.hpp"

namespace gaugeloom {
namespace {

int find_id_field(const VectorSource& source, const std::string& wish) {
  if (!wish.empty()) {
    if (const int field = source.field(wish); field >= 0) return field;
    throw Error(ErrorCode::malformed_input,
                fmt::format("there is no field {} (found: {})", wish, source.field_names()),
                {source.shown()});
  }
  for (const char* name : {"area", "catchment", "id", "name"})
    if (const int field = source.field(name); field >= 0) return field;
  throw Error(ErrorCode::malformed_input,
              fmt::format("there is no field area, catchment, id or name with the ids of the areas "
                          "(found: {})",
                          source.field_names()),
              {source.shown()});
}

std::string find_crs(const VectorSource& source, const AreaReadOptions& options,
                     const std::string& working_crs, std::vector<std::string>& notices) {
  const std::string own = source.crs();
  if (working_crs == kLocalCrs) return kLocalCrs;  // plain metres are taken as they stand
  if (!own.empty()) {
    if (!options.crs.empty() && !CrsTransform(own, options.crs).is_identity())
      notices.push_back(fmt::format("{}: the areas are in {} already; {} is not used",
                                    source.shown(), describe_crs(own).name, options.crs));
    return own;
  }
  if (!options.crs.empty()) return options.crs;
  throw Error(ErrorCode::unsupported_crs, "the areas do not name their CRS; store it with them",
              {source.shown()});
}

Ring read_ring(const OGRLinearRing& ring, const CrsTransform& transform) {
  std::vector<CrsPoint> corners;
  const int count = ring.getNumPoints();
  for (int i = 0; i < count; ++i) corners.push_back({ring.getX(i), ring.getY(i)});
  if (corners.size() > 1 && corners.front() == corners.back()) corners.pop_back();
  Ring made;
  for (const CrsPoint& corner : transform.forward(corners)) made.push_back({corner.x, corner.y});
  return made;
}

PolygonPart read_part(const OGRPolygon& polygon, const CrsTransform& transform) {
  PolygonPart part;
  if (polygon.getExteriorRing() != nullptr)
    part.outer = read_ring(*polygon.getExteriorRing(), transform);
  for (int i = 0; i < polygon.getNumInteriorRings(); ++i)
    part.holes.push_back(read_ring(*polygon.getInteriorRing(i), transform));
  return part;
}

Polygon read_polygon(const VectorRow& row, const CrsTransform& transform) {
  const OGRGeometry* geometry = row.geometry();
  if (geometry == nullptr || geometry->IsEmpty()) row.fail("the area has no polygon");
  const std::unique_ptr<OGRGeometry> straight(geometry->getLinearGeometry());
  const OGRwkbGeometryType type = wkbFlatten(straight->getGeometryType());
  Polygon polygon;
  if (type == wkbPolygon) {
    polygon.parts.push_back(read_part(*straight->toPolygon(), transform));
  } else if (type == wkbMultiPolygon) {
    for (const OGRPolygon* part : *straight->toMultiPolygon())
      polygon.parts.push_back(read_part(*part, transform));
  } else {
    row.fail(
        fmt::format("the geometry is a {}; an area is a polygon", geometry->getGeometryName()));
  }
  return polygon;
}

Area read_area(const VectorRow& row, int id_field, int name_field, const CrsTransform& transform,
               const std::string& file) {
  Area area;
  const auto id = row.text(id_field);
  if (!id) row.fail("the id of the area is empty");
  area.id = *id;
  area.name = row.text(name_field).value_or("");
  try {
    area.polygon = read_polygon(row, transform);
  } catch (const Error& error) {
    if (!error.pos().file.empty()) throw;
    throw Error(error.code(), fmt::format("area {}: {}", area.id, error.what()), {file});
  }
  if (const auto broken = problem(area.polygon))
    throw Error(ErrorCode::inconsistent_input,
                fmt::format("area {}: {}; repair the polygon", area.id, *broken), {file});
  return area;
}

}  // namespace

std::vector<Area> read_areas(const std::string& source, const std::string& working_crs,
                             const AreaReadOptions& options, std::vector<std::string>& notices) {
  VectorSource layer(source, options.layer);
  const int id_field = find_id_field(layer, options.id_field);
  const CrsTransform transform(find_crs(layer, options, working_crs, notices), working_crs);
  std::vector<Area> areas;
  std::set<std::string> ids;
  while (const auto row = layer.next()) {
    areas.push_back(read_area(*row, id_field, layer.field("name"), transform, layer.shown()));
    if (!ids.insert(areas.back().id).second)
      throw Error(ErrorCode::inconsistent_input,
                  fmt::format("area {} stands twice ({}); join its polygons, or choose another id "
                              "field",
                              areas.back().id, row->place()),
                  {layer.shown()});
  }
  if (areas.empty())
    throw Error(ErrorCode::inconsistent_input, "there is no area in it", {layer.shown()});
  return areas;
}

}  // namespace gaugeloom
