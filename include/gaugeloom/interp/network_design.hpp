#pragma once
// What a network of gauges can know of the rain between them, before any rain has fallen: the
// kriging error of places and areas, without any one of the gauges, or with one more.
// Kriging errors depend on where the gauges stand and on the variogram, not on the depths.
// Sources: A. Journel and C. Huijbregts, Mining Geostatistics, Academic Press 1978, section V.A
// (the covariance of two estimation errors); O. Dubrule, Math. Geology 15 (1983), p. 687 (leaving
// out a gauge from one inverse).

#include <span>
#include <vector>

#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/interp/variogram.hpp"

namespace gaugeloom {

// The error variance of one target, in the square of the field's unit.
struct DesignTarget {
  double variance = 0;          // with all gauges as they are
  std::vector<double> without;  // for each gauge, if it alone failed; never below `variance`
  std::vector<double> with;     // for each place, with one more gauge there; never above it
};

struct NetworkDesign {
  std::vector<double> place_variance;  // at each place
  DesignTarget region;                 // the mean of place_variance
  std::vector<DesignTarget> areas;     // the mean of the field over each area
};

// Errors of ordinary kriging from all gauges, negative weights kept. The nugget is a matter of
// points: it stays between gauges and out of places and areas.
//
//   measurement_variance  empty, or one per gauge, >= 0
//   places                where the error is wanted and one more gauge might stand; 1 or more
//   areas                 each by the points that discretise it, of equal weight; 1 or more points
//   new_gauge_variance    measurement variance of the one more gauge, >= 0
//
// Laws (each one is a test): each number is that of kriging anew without the gauge, or with one
// more; the gauge that does not matter for an area does not change it.
// Requires:  3 gauges or more at places that differ.
// Throws:    Error{invalid_option} for a variogram with a problem(), more than kMostGlobalGauges
//            gauges, or a singular system (two gauges at one place without nugget or noise).
// Cost:      n^3 + n^2 m + n m^2 operations for n gauges and m places.
NetworkDesign network_design(std::span<const MetricPoint> gauges,
                             std::span<const double> measurement_variance,
                             std::span<const MetricPoint> places,
                             std::span<const std::vector<MetricPoint>> areas,
                             const Variogram& variogram, double new_gauge_variance);

}  // namespace gaugeloom
