#pragma once
// Leave-one-out of one field: each gauge estimated from the others, the plain way, one by one.

#include <span>
#include <vector>

#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/interp/estimate.hpp"
#include "gaugeloom/interp/inverse_distance.hpp"
#include "gaugeloom/interp/ordinary_kriging.hpp"
#include "gaugeloom/interp/variogram.hpp"

namespace gaugeloom {

// Ordinary kriging of each gauge from the others.
//
//   values                n values; NaN = missing: no neighbour of anybody, yet estimated itself
//   measurement_variance  empty, or n variances >= 0
//   returns               n estimates, in the gauges' order
//
// A left out gauge is one more observation: its covariance with the others is the
// structured_covariance (also at distance 0), and the variance is that of its reading: C0 = sill +
// its own measurement variance.
// Laws (each one is a test): the value of a gauge does not enter its own estimate; a constant field
// stays constant; with all neighbours the closed form below agrees.
//
// Requires:  equal sizes. Throws: Error{invalid_option} if options or variogram have a problem().
// Cost:      n solves of k^3.
std::vector<Estimate> leave_one_out_kriging(std::span<const MetricPoint> gauges,
                                            std::span<const double> values,
                                            std::span<const double> measurement_variance,
                                            const Variogram& variogram,
                                            const KrigingOptions& options = {});

// The same with every other gauge as a neighbour and negative weights kept, from one factorisation:
// with B the inverse of the bordered matrix, the error is (B y)_i / B_ii and its variance 1 / B_ii.
// Source: O. Dubrule, Math. Geology 15 (1983), p. 687. Missing gauges are estimated by
// ordinary_kriging from all the others.
// Cost: n^3 once; a singular system falls back to one by one.
std::vector<Estimate> leave_one_out_kriging_closed_form(
    std::span<const MetricPoint> gauges, std::span<const double> values,
    std::span<const double> measurement_variance, const Variogram& variogram);

// Inverse distance of each gauge from the others; missing values as above.
std::vector<Estimate> leave_one_out_inverse_distance(std::span<const MetricPoint> gauges,
                                                     std::span<const double> values,
                                                     const InverseDistanceOptions& options = {});

}  // namespace gaugeloom
