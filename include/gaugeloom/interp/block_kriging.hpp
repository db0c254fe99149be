#pragma once
// Ordinary block kriging: the mean of a field over a block (a catchment, a cell) and its variance.
// Source: A. Journel and C. Huijbregts, Mining Geostatistics, Academic Press 1978, section V.A.

#include <span>
#include <vector>

#include "gaugeloom/geo/position.hpp"
#include "gaugeloom/interp/ordinary_kriging.hpp"

namespace gaugeloom {

// The mean over the block that `block` stands for.
//
//   block          one or more points that discretise the block
//   block_weights  empty (equal weights), or one per point, >= 0, with sum 1
//   the rest       as for ordinary_kriging
//
// The nugget is a matter of points: it averages out over a block. So it neither enters the
// covariance between a gauge and the block, nor within the block; it stays between gauges.
// The nearest gauges are taken from the mean of the block's points.
// Laws (each one is a test): a constant field stays constant; with all gauges the estimate is the
// weighted mean of the point estimates at the block's points (without nugget); the variance is not
// above that of a point estimate averaged over them.
//
// Requires:  values.size() == gauges.size(); block is not empty.
// Throws:    Error{invalid_option} if options or variogram have a problem().
// Cost:      b^2 / 2 + k b covariances for b block points and k gauges used, and one solve.
Estimate block_kriging(std::span<const MetricPoint> gauges, std::span<const double> values,
                       std::span<const double> measurement_variance,
                       std::span<const MetricPoint> block, std::span<const double> block_weights,
                       const Variogram& variogram, const KrigingOptions& options = {});

// The weights of block_kriging.
KrigingWeights block_kriging_weights(std::span<const MetricPoint> gauges,
                                     std::span<const double> measurement_variance,
                                     std::span<const MetricPoint> block,
                                     std::span<const double> block_weights,
                                     const Variogram& variogram,
                                     const KrigingOptions& options = {});

// The variance of the error of any weighted mean of gauges as an estimate of the block's mean:
// C_BB - 2 w'c + w'Cw, with the conventions above.
// Law (a test): for the weights of block_kriging_weights it is their variance.
// Requires: one weight per gauge, with sum 1; block weights as above. Cost: that of the weights.
double block_error_variance(std::span<const MetricPoint> gauges, std::span<const double> weights,
                            std::span<const MetricPoint> block,
                            std::span<const double> block_weights, const Variogram& variogram);

// The centres of columns x rows equal cells of a rectangle, row by row from its lower left corner.
// Requires: sides > 0, columns and rows 1 or more.
std::vector<MetricPoint> rectangle_points(const MetricPoint& centre, double width_m,
                                          double height_m, int columns, int rows);

}  // namespace gaugeloom
