#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "gaugeloom/core/error.hpp"
#include "geo/proj_internal.hpp"

namespace gaugeloom::proj {
namespace {

void keep_message(void* into, int, const char* text) {
  if (text != nullptr) *static_cast<std::string*>(into) = text;
}

// A PROJ string is a CRS only when it says so.
std::string as_crs(const std::string& definition) {
  const bool is_string = definition.find("+proj=") != std::string::npos;
  if (is_string && definition.find("+type=crs") == std::string::npos)
    return definition + " +type=crs";
  return definition;
}

std::string shortened(const std::string& definition) {
  return definition.size() <= 120 ? definition : definition.substr(0, 117) + "...";
}

}  // namespace

Context::Context() : context_(proj_context_create()) {
  proj_context_set_enable_network(context_, 0);
  proj_log_func(context_, &message_, keep_message);
}

Context::~Context() { proj_context_destroy(context_); }

std::string Context::take_message() { return std::exchange(message_, {}); }

Object make_crs(Context& context, const std::string& definition) {
  Object crs(proj_create(context.get(), as_crs(definition).c_str()));
  if (crs && proj_is_crs(crs.get())) return crs;
  const std::string message = context.take_message();
  throw Error(ErrorCode::unsupported_crs,
              fmt::format("unknown CRS \"{}\"{}{}; give an EPSG code such as EPSG:3035, WKT or a "
                          "PROJ string",
                          shortened(definition), message.empty() ? "" : ": ", message));
}

Object horizontal(Context& context, const Object& crs) {
  Object part(proj_clone(context.get(), crs.get()));
  for (int depth = 0; depth < 4; ++depth) {
    const PJ_TYPE type = proj_get_type(part.get());
    if (type == PJ_TYPE_COMPOUND_CRS)
      part.reset(proj_crs_get_sub_crs(context.get(), part.get(), 0));
    else if (type == PJ_TYPE_BOUND_CRS)
      part.reset(proj_get_source_crs(context.get(), part.get()));
    else
      break;
  }
  const PJ_TYPE type = part ? proj_get_type(part.get()) : PJ_TYPE_UNKNOWN;
  if (type == PJ_TYPE_GEOGRAPHIC_2D_CRS || type == PJ_TYPE_GEOGRAPHIC_3D_CRS ||
      type == PJ_TYPE_PROJECTED_CRS)
    return part;
  throw Error(ErrorCode::unsupported_crs,
              fmt::format("CRS \"{}\" gives no positions on the Earth's surface; give a geographic "
                          "or a projected one",
                          name_of(crs)));
}

std::string name_of(const Object& crs) {
  const char* name = proj_get_name(crs.get());
  return name == nullptr ? "unknown" : name;
}

bool is_geographic(const Object& crs) {
  const PJ_TYPE type = proj_get_type(crs.get());
  return type == PJ_TYPE_GEOGRAPHIC_2D_CRS || type == PJ_TYPE_GEOGRAPHIC_3D_CRS;
}

bool is_metric(Context& context, const Object& crs) {
  if (proj_get_type(crs.get()) != PJ_TYPE_PROJECTED_CRS) return false;
  const Object system(proj_crs_get_coordinate_system(context.get(), crs.get()));
  if (!system) return false;
  for (int axis = 0; axis < 2; ++axis) {
    double metres = 0;
    if (!proj_cs_get_axis_info(context.get(), system.get(), axis, nullptr, nullptr, nullptr,
                               &metres, nullptr, nullptr, nullptr) ||
        metres != 1.0)
      return false;
  }
  return true;
}

bool AreaOfUse::contains(double lon_deg, double lat_deg) const {
  if (lat_deg < south || lat_deg > north) return false;
  if (west <= east) return lon_deg >= west && lon_deg <= east;
  return lon_deg >= west || lon_deg <= east;  // across the date line
}

AreaOfUse area_of_use(Context& context, const Object& crs) {
  AreaOfUse area;
  double west = 0, south = 0, east = 0, north = 0;
  if (!proj_get_area_of_use(context.get(), crs.get(), &west, &south, &east, &north, nullptr))
    return area;
  if (west < -900) return area;
  const double width = east >= west ? east - west : east - west + 360;
  const double margin_lon = std::min(1.5, width / 4);
  const double margin_lat = std::min(1.5, (north - south) / 4);
  area.south = south - margin_lat;
  area.north = north + margin_lat;
  if (width + 2 * margin_lon >= 360) return area;
  area.west = west - margin_lon;
  area.east = east + margin_lon;
  if (area.west < -180) area.west += 360;
  if (area.east > 180) area.east -= 360;
  return area;
}

}  // namespace gaugeloom::proj
