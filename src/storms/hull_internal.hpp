#pragma once
// The convex hull of the gauges, for how far a place lies outside the network.
// Source: A. M. Andrew, Information Processing Letters 9 (1979), p. 216 (monotone chain).

#include <span>
#include <vector>

#include "gaugeloom/geo/position.hpp"

namespace gaugeloom {

class ConvexHull {
 public:
  // Requires at least one point. Points on one line give a hull without area.
  explicit ConvexHull(std::span<const MetricPoint> points);

  // 0 inside and on the hull.
  double distance_m(const MetricPoint& point) const;
  // Whether the whole box between two opposite corners lies inside.
  bool contains_box(const MetricPoint& a, const MetricPoint& b) const;
  std::span<const MetricPoint> corners() const { return corners_; }  // against the clock

 private:
  bool contains(const MetricPoint& point) const;
  std::vector<MetricPoint> corners_;
};

}  // namespace gaugeloom
