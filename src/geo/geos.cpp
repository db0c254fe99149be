#include <fmt/format.h>

#include "gaugeloom/core/error.hpp"
#include "geo/geos_internal.hpp"

namespace gaugeloom::geos {
namespace {

void keep_message(const char* text, void* into) { *static_cast<std::string*>(into) = text; }

Geometry to_ring(const Context& context, const Ring& ring) {
  const auto corners = static_cast<unsigned>(ring.size());
  if (corners < 3) context.fail("a ring has fewer than three corners");
  GEOSCoordSequence* sequence = GEOSCoordSeq_create_r(context.get(), corners + 1, 2);
  for (unsigned i = 0; i <= corners; ++i) {
    const MetricPoint& corner = ring[i % corners];
    GEOSCoordSeq_setXY_r(context.get(), sequence, i, corner.x_m, corner.y_m);
  }
  Geometry made = own(context, GEOSGeom_createLinearRing_r(context.get(), sequence));
  if (!made) context.fail("a ring cannot be built");
  return made;
}

Geometry to_part(const Context& context, const PolygonPart& part) {
  Geometry outer = to_ring(context, part.outer);
  std::vector<Geometry> holes;
  for (const Ring& hole : part.holes) holes.push_back(to_ring(context, hole));
  std::vector<GEOSGeometry*> given;
  for (Geometry& hole : holes) given.push_back(hole.release());
  Geometry made =
      own(context, GEOSGeom_createPolygon_r(context.get(), outer.release(), given.data(),
                                            static_cast<unsigned>(given.size())));
  if (!made) context.fail("a polygon cannot be built");
  return made;
}

Ring from_ring(const Context& context, const GEOSGeometry* ring) {
  const GEOSCoordSequence* sequence = GEOSGeom_getCoordSeq_r(context.get(), ring);
  unsigned count = 0;
  GEOSCoordSeq_getSize_r(context.get(), sequence, &count);
  Ring corners(count > 0 ? count - 1 : 0);  // GEOS repeats the first corner at the end
  for (unsigned i = 0; i < corners.size(); ++i)
    GEOSCoordSeq_getXY_r(context.get(), sequence, i, &corners[i].x_m, &corners[i].y_m);
  return corners;
}

void collect_parts(const Context& context, const GEOSGeometry* geometry, Polygon& into) {
  const int type = GEOSGeomTypeId_r(context.get(), geometry);
  if (type == GEOS_POLYGON) {
    if (GEOSisEmpty_r(context.get(), geometry)) return;
    PolygonPart part;
    part.outer = from_ring(context, GEOSGetExteriorRing_r(context.get(), geometry));
    const int holes = GEOSGetNumInteriorRings_r(context.get(), geometry);
    for (int i = 0; i < holes; ++i)
      part.holes.push_back(from_ring(context, GEOSGetInteriorRingN_r(context.get(), geometry, i)));
    into.parts.push_back(std::move(part));
  } else if (type == GEOS_MULTIPOLYGON || type == GEOS_GEOMETRYCOLLECTION) {
    const int parts = GEOSGetNumGeometries_r(context.get(), geometry);
    for (int i = 0; i < parts; ++i)
      collect_parts(context, GEOSGetGeometryN_r(context.get(), geometry, i), into);
  }
}

}  // namespace

Context::Context() : handle_(GEOS_init_r()) {
  GEOSContext_setErrorMessageHandler_r(handle_, keep_message, &message_);
  GEOSContext_setNoticeMessageHandler_r(handle_, keep_message, &message_);
}

Context::~Context() { GEOS_finish_r(handle_); }

void Context::fail(const std::string& doing) const {
  throw Error(ErrorCode::inconsistent_input, fmt::format("{}{}{}; repair the polygon", doing,
                                                         message_.empty() ? "" : ": ", message_));
}

Geometry own(const Context& context, GEOSGeometry* geometry) {
  return Geometry(geometry, Destroy{context.get()});
}

Geometry to_geos(const Context& context, const Polygon& polygon) {
  std::vector<Geometry> parts;
  for (const PolygonPart& part : polygon.parts) parts.push_back(to_part(context, part));
  std::vector<GEOSGeometry*> given;
  for (Geometry& part : parts) given.push_back(part.release());
  Geometry made =
      own(context, GEOSGeom_createCollection_r(context.get(), GEOS_MULTIPOLYGON, given.data(),
                                               static_cast<unsigned>(given.size())));
  if (!made) context.fail("a polygon cannot be built");
  return made;
}

Polygon from_geos(const Context& context, const GEOSGeometry* geometry) {
  Polygon polygon;
  collect_parts(context, geometry, polygon);
  return polygon;
}

}  // namespace gaugeloom::geos
