#include <fmt/format.h>

#include <cmath>
#include <mutex>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/geo/work_crs.hpp"
#include "geo/proj_internal.hpp"

namespace gaugeloom {
namespace {

// One end of a conversion, with what is needed to tell whether a place suits it.
struct End {
  proj::Object crs;  // the horizontal part
  std::string name;
  bool geographic = false;
  double degrees_per_unit = 1;  // for a geographic CRS
  proj::AreaOfUse area;
  proj::Object to_degrees;  // none where the CRS is WGS 84 itself
};

proj::Object conversion(proj::Context& context, const proj::Object& from, const proj::Object& to) {
  proj::Object raw(
      proj_create_crs_to_crs_from_pj(context.get(), from.get(), to.get(), nullptr, nullptr));
  proj::Object made;
  if (raw) made.reset(proj_normalize_for_visualization(context.get(), raw.get()));
  if (made) return made;
  throw Error(ErrorCode::unsupported_crs,
              fmt::format("no conversion from CRS \"{}\" to \"{}\" is known{}; choose another "
                          "working CRS with --work-crs",
                          proj::name_of(from), proj::name_of(to), context.take_message()));
}

bool same(const proj::Object& a, const proj::Object& b) {
  return proj_is_equivalent_to(a.get(), b.get(), PJ_COMP_EQUIVALENT_EXCEPT_AXIS_ORDER_GEOGCRS);
}

double degrees_per_unit(proj::Context& context, const proj::Object& crs) {
  const proj::Object system(proj_crs_get_coordinate_system(context.get(), crs.get()));
  double radians = 0;
  if (system && proj_cs_get_axis_info(context.get(), system.get(), 0, nullptr, nullptr, nullptr,
                                      &radians, nullptr, nullptr, nullptr)) {
    const double degrees = proj_todeg(radians);
    return std::abs(degrees - 1) < 1e-9 ? 1.0 : degrees;
  }
  return 1;
}

End make_end(proj::Context& context, const std::string& definition) {
  End end;
  const proj::Object whole = proj::make_crs(context, definition);
  end.crs = proj::horizontal(context, whole);
  end.name = proj::name_of(end.crs);
  end.geographic = proj::is_geographic(end.crs);
  if (end.geographic) end.degrees_per_unit = degrees_per_unit(context, end.crs);
  end.area = proj::area_of_use(context, end.crs);
  const proj::Object wgs84 = proj::make_crs(context, kLonLatCrs);
  if (!same(end.crs, wgs84)) end.to_degrees = conversion(context, end.crs, wgs84);
  return end;
}

std::string shown(const End& end, const CrsPoint& point) {
  return end.geographic ? fmt::format("longitude {}, latitude {}", point.x, point.y)
                        : fmt::format("x {}, y {}", point.x, point.y);
}

CrsPoint convert(PJ* conversion, PJ_DIRECTION direction, const CrsPoint& point) {
  const PJ_COORD result = proj_trans(conversion, direction, proj_coord(point.x, point.y, 0, 0));
  return {result.xy.x, result.xy.y};
}

void check_range(const End& end, const CrsPoint& point) {
  const double lon = point.x * end.degrees_per_unit;
  const double lat = point.y * end.degrees_per_unit;
  const bool finite = std::isfinite(point.x) && std::isfinite(point.y);
  if (finite && (!end.geographic || (std::abs(lon) <= 180 && std::abs(lat) <= 90))) return;
  throw Error(ErrorCode::malformed_input,
              fmt::format("coordinates out of range ({}); {}", shown(end, point),
                          end.geographic
                              ? "longitudes go from -180 to 180 and latitudes from -90 to 90; if "
                                "these are metres, name their CRS with --crs"
                              : "both must be finite numbers"));
}

CrsPoint degrees_of(const End& end, const CrsPoint& point) {
  if (!end.to_degrees) return point;
  return convert(end.to_degrees.get(), PJ_FWD, point);
}

void check_area(const End& asked, const End& given, const CrsPoint& point,
                const CrsPoint& degrees) {
  if (std::isfinite(degrees.x) && std::isfinite(degrees.y) &&
      asked.area.contains(degrees.x, degrees.y))
    return;
  throw Error(ErrorCode::unsupported_crs,
              fmt::format("the place {} lies outside the area of use of CRS \"{}\"; check the "
                          "coordinates and their CRS, or choose another one",
                          shown(given, point), asked.name));
}

}  // namespace

struct CrsTransform::Impl {
  bool identity = false;
  bool local = false;
  proj::Context context;
  End from, to;
  proj::Object conversion;  // none for the identity
  mutable std::mutex busy;

  // Requires that the caller holds `busy`.
  CrsPoint run(const CrsPoint& point, PJ_DIRECTION direction) const {
    const End& given = direction == PJ_FWD ? from : to;
    const End& wanted = direction == PJ_FWD ? to : from;
    check_range(given, point);
    const CrsPoint degrees = degrees_of(given, point);
    check_area(given, given, point, degrees);
    check_area(wanted, given, point, degrees);
    if (identity) return point;
    const CrsPoint result = convert(conversion.get(), direction, point);
    if (!std::isfinite(result.x) || !std::isfinite(result.y))
      check_area(wanted, given, point, {HUGE_VAL, HUGE_VAL});
    return result;
  }
};

CrsTransform::CrsTransform(const std::string& from_crs, const std::string& to_crs)
    : impl_(std::make_unique<Impl>()) {
  impl_->local = from_crs == kLocalCrs && to_crs == kLocalCrs;
  impl_->identity = impl_->local;
  if (impl_->local) return;
  if (from_crs == kLocalCrs || to_crs == kLocalCrs)
    throw Error(ErrorCode::unsupported_crs,
                "plain metres (CRS \"local\") have no place on Earth and cannot be converted; give "
                "all inputs in them, or name the CRS with --crs");
  impl_->from = make_end(impl_->context, from_crs);
  impl_->to = make_end(impl_->context, to_crs);
  impl_->identity = same(impl_->from.crs, impl_->to.crs);
  if (!impl_->identity)
    impl_->conversion = conversion(impl_->context, impl_->from.crs, impl_->to.crs);
}

CrsTransform::~CrsTransform() = default;
CrsTransform::CrsTransform(CrsTransform&&) noexcept = default;
CrsTransform& CrsTransform::operator=(CrsTransform&&) noexcept = default;

CrsPoint CrsTransform::forward(const CrsPoint& point) const {
  return forward(std::span(&point, 1)).front();
}

CrsPoint CrsTransform::inverse(const CrsPoint& point) const {
  if (impl_->local) return point;
  const std::scoped_lock lock(impl_->busy);
  return impl_->run(point, PJ_INV);
}

std::vector<CrsPoint> CrsTransform::forward(std::span<const CrsPoint> points) const {
  std::vector<CrsPoint> converted(points.begin(), points.end());
  if (impl_->local) return converted;
  const std::scoped_lock lock(impl_->busy);
  for (CrsPoint& point : converted) point = impl_->run(point, PJ_FWD);
  return converted;
}

bool CrsTransform::is_identity() const { return impl_->identity; }

}  // namespace gaugeloom
