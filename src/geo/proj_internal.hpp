#pragma once
// PROJ objects that clean up after themselves, with a silent context of their own. Internal.

#include <proj.h>

#include <memory>
#include <string>

namespace gaugeloom::proj {

struct Destroy {
  void operator()(PJ* object) const { proj_destroy(object); }
};
using Object = std::unique_ptr<PJ, Destroy>;

// A context with network access off, which keeps PROJ's messages instead of printing them.
class Context {
 public:
  Context();
  ~Context();
  Context(const Context&) = delete;
  Context& operator=(const Context&) = delete;

  PJ_CONTEXT* get() const { return context_; }
  // What PROJ last complained about, or nothing; forgets it.
  std::string take_message();

 private:
  PJ_CONTEXT* context_;
  std::string message_;
};

// The CRS that `definition` names. Throws Error{unsupported_crs} if PROJ does not know it.
Object make_crs(Context& context, const std::string& definition);

// The horizontal part of it: without vertical axis, without a transformation to WGS 84 bound to it.
Object horizontal(Context& context, const Object& crs);

std::string name_of(const Object& crs);
bool is_geographic(const Object& crs);
bool is_metric(Context& context, const Object& crs);

// Longitudes and latitudes where a CRS may be used, a margin included; open where unknown.
struct AreaOfUse {
  double west = -1000, south = -1000, east = 1000, north = 1000;
  bool contains(double lon_deg, double lat_deg) const;
};
AreaOfUse area_of_use(Context& context, const Object& crs);

}  // namespace gaugeloom::proj
