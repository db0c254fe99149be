#pragma once
// From the coordinates of a source to the metres the network is computed in, and back.
// A coordinate reference system (CRS) is named by anything PROJ reads: EPSG:3035, WKT, a PROJ
// string; or "local": plain metres without a place on Earth.
// Source: IOGP Guidance Note 7-2 (EPSG), coordinate conversions; computed by PROJ, whose network
// access stays off.

#include <memory>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/geo/position.hpp"

namespace gaugeloom {

inline constexpr const char* kLocalCrs = "local";
inline constexpr const char* kLonLatCrs = "EPSG:4326";

// A coordinate pair as it stands in a source, always east (longitude) first, in the CRS's own unit.
struct CrsPoint {
  double x = 0;
  double y = 0;
  bool operator==(const CrsPoint&) const = default;
};

struct CrsDescription {
  std::string name;         // "ETRS89-extended / LAEA Europe"
  bool geographic = false;  // degrees
  bool metric = false;      // projected, both axes in metres
};

// Throws: Error{unsupported_crs} for a definition that PROJ does not know, or whose axes do not lie
// on the Earth's surface (geocentric, vertical). `crs` is not "local".
CrsDescription describe_crs(const std::string& crs);

// A conversion between two CRS, both ways. Safe to call from several threads; the calls then wait
// for each other, so give each thread its own where it matters.
//
// Throws: on construction Error{unsupported_crs}, for an unknown CRS, two CRS that cannot be
//         converted, or "local" against anything but "local". On use Error{malformed_input} for
//         longitudes or latitudes out of range, and Error{unsupported_crs} for a place outside the
//         area of use of either CRS (a margin of a quarter of that area, at most 1.5 degrees, is
//         allowed, because networks cross the borders of zones).
class CrsTransform {
 public:
  CrsTransform(const std::string& from_crs, const std::string& to_crs);
  ~CrsTransform();
  CrsTransform(CrsTransform&&) noexcept;
  CrsTransform& operator=(CrsTransform&&) noexcept;

  CrsPoint forward(const CrsPoint& point) const;
  CrsPoint inverse(const CrsPoint& point) const;
  // forward() of each, faster than one by one.
  std::vector<CrsPoint> forward(std::span<const CrsPoint> points) const;
  bool is_identity() const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

// The working CRS of a network: metric, with forward and inverse from degrees (WGS 84).
class WorkCrs {
 public:
  // Lambert azimuthal equal-area, WGS 84, centred on `centre` rounded to 0.01 degrees, spelled out
  // in full as a PROJ string, so that no data base can move it.
  static WorkCrs centred_on(const LonLat& centre);
  static WorkCrs local();
  // Throws Error{unsupported_crs} when `crs` is unknown or not metric.
  static WorkCrs from(const std::string& crs);

  const std::string& definition() const { return definition_; }
  bool is_local() const { return definition_ == kLocalCrs; }

  // Throw as CrsTransform; a local CRS has no degrees: Error{unsupported_crs}.
  MetricPoint forward(const LonLat& place) const;
  LonLat inverse(const MetricPoint& point) const;

 private:
  explicit WorkCrs(std::string definition);
  std::string definition_;
  std::shared_ptr<const CrsTransform> from_degrees_;  // none when local
};

// The middle of the smallest box of longitudes and latitudes around `places`, across the date line
// where that is smaller; rounded to 0.01 degrees. Requires at least one place.
LonLat centre_of(std::span<const LonLat> places);

struct Placement {
  std::string working_crs;             // definition, or "local"
  std::vector<MetricPoint> positions;  // in it, in the order of the points
  std::vector<LonLat> lon_lat;         // the same; empty when local
};

// Places points of one source in the working CRS of their network.
//   source_crs   the CRS of `points`, or "local"
//   work_crs     the wish of the user; empty: the source's own CRS when it is metric and true to
//                scale (within 5 % at the centre of the network), else centred_on(centre)
// Positions that had to be converted are rounded to 1 mm, and degrees to 1e-8, so that the last bit
// does not depend on the processor; positions that are in the working CRS already stay as they are.
//
// Throws: as CrsTransform, with "point 7" (counted from 1) in the sentence; Error{unsupported_crs}
//         for a work_crs that is not metric or stretches distances by more than 5 %, or is not
//         "local" while the source is.
Placement place_in_work_crs(std::span<const CrsPoint> points, const std::string& source_crs,
                            const std::string& work_crs = {});

}  // namespace gaugeloom
