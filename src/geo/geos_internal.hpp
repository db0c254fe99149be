#pragma once
// GEOS geometries that clean up after themselves, with a silent context of their own. Internal.

#include <geos_c.h>

#include <memory>
#include <string>

#include "gaugeloom/geo/polygon.hpp"

namespace gaugeloom::geos {

// Keeps the messages of GEOS instead of printing them.
class Context {
 public:
  Context();
  ~Context();
  Context(const Context&) = delete;
  Context& operator=(const Context&) = delete;

  GEOSContextHandle_t get() const { return handle_; }
  // Throws Error{inconsistent_input} with what GEOS last complained about.
  [[noreturn]] void fail(const std::string& doing) const;

 private:
  GEOSContextHandle_t handle_;
  std::string message_;
};

struct Destroy {
  GEOSContextHandle_t handle = nullptr;
  void operator()(GEOSGeometry* geometry) const { GEOSGeom_destroy_r(handle, geometry); }
};
using Geometry = std::unique_ptr<GEOSGeometry, Destroy>;

Geometry own(const Context& context, GEOSGeometry* geometry);

// A multipolygon. Throws Error{inconsistent_input} for a ring of fewer than three corners.
Geometry to_geos(const Context& context, const Polygon& polygon);

// The polygons within `geometry`; points and lines in it are left out.
Polygon from_geos(const Context& context, const GEOSGeometry* geometry);

}  // namespace gaugeloom::geos
