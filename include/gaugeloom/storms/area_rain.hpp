#pragma once
// The mean rain over areas (catchments): per step for models, and per storm.

#include <cstdint>
#include <span>
#include <vector>

#include "gaugeloom/core/bulk_vector.hpp"
#include "gaugeloom/geo/polygon.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/series_record.hpp"
#include "gaugeloom/storms/area_weights.hpp"
#include "gaugeloom/storms/storm.hpp"
#include "gaugeloom/storms/storm_gauges.hpp"
#include "gaugeloom/storms/storm_map.hpp"

namespace gaugeloom {

// Area-major: area * steps + step. NaN where fewer than 3 gauges have the step, or where nothing of
// the area is supported.
struct AreaSeries {
  std::size_t steps = 0;
  BulkVector<float> mean_mm;
  BulkVector<float> low_mm;   // 5 % bound
  BulkVector<float> high_mm;  // 95 % bound
  BulkVector<float> supported_share;
};

struct StormArea {
  std::size_t storm = 0;  // index in the list
  std::size_t area = 0;
  double mean_mm = 0;            // of the storm's map, and the sum of its steps; NaN when any is
  double low_mm = 0;             // 5 % bound
  double high_mm = 0;            // 95 % bound
  double standard_error_mm = 0;  // of the mean
  double max_mm = 0;             // the largest of the map at any of the area's points
  double share_filled = 0;       // of the steps of the gauges, by their weights
  double supported_share = 0;    // of the area, at the step where it is least
  double thiessen_mm = 0;        // for comparison: Thiessen polygons, and inverse distance of power
  double inverse_distance_mm = 0;  // 2 from the nearest 16 gauges, over the same points
  std::size_t gauges = 0;          // that speak for it, with a weight above 0
};

// What steps and storms of areas are computed with.
struct AreaVariograms {
  AreaWeightOptions options;
  Variogram maps;              // sill 1: of the maps of storms, with the nugget as it was learned
  bool storm_learned = false;  // false: the default range of its duration
  bool step_learned = false;
};

// The scaled variograms (interp/climatological_variogram.hpp) of the totals of storms and of the
// steps of this record; those of weights with a nugget of 0.02 or more, so that two gauges may
// stand on one spot (in a map the errors of the gauges allow it).
AreaVariograms learn_area_variograms(std::span<const MetricPoint> gauges,
                                     const SeriesRecord& record, std::span<const Storm> storms,
                                     std::span<const StormGauge> rows, int threads = 0);

// The rain of the areas at every step, before the storms are brought to their maps.
//
// The mean is that of storms/area_weights.hpp over the gauges that have the step: one set of
// weights for each set of such gauges, so in a gap-free record one for all. Its bounds are the
// wider of two, each way, with the errors of what was filled in both, and never below 0:
//   - 1.645 of the spread of the gauges' depths at that step (their variance over what a sill of 1
//     makes of it) times the error of the weights for a sill of 1: wide where rain is patchy;
//   - the bounds that filling learned for one gauge told from the others, at this depth, drawn in
//     to step_share of their reach: rain that fell between the gauges. Not where `errors` is empty.
// Laws (each one is a test): the mean of a constant field is exact, and without `errors` has bounds
//   equal to it; the mean lies between the lowest and highest gauge that speaks, so a dry step has
//   a mean of 0; depths times c give c times the mean and, without `errors`, its bounds; `errors`
//   make no bound narrower; the same for any number of threads.
// Requires: positions of the network in the CRS of the areas.
// Cost: per step and area, a few operations for each gauge that speaks.
AreaSeries area_series(const Network& network, const SeriesRecord& record,
                       const DurationErrors& errors, std::span<const Area> areas,
                       const AreaVariograms& variograms, int threads = 0);

// The rain of the areas in each storm; by storm, then in the order of the areas.
//
//   depth   the depths of the record
//   rows    those of storm_gauges for these storms
//   maps    of these storms
//   series  that of area_series of the same record and areas; its steps in storms are changed
//
// The mean and the largest depth are those of the storm's map over the area, at some 2000 points of
// which it supports some: what a zonal mean of the raster gives. In the map negative weights count
// and a place below 0 is 0; no weighting of gauges for a whole area does both. The means of the
// steps keep their course and are scaled to that mean, so that no step is below 0 and they add up
// to it; where their gauges were dry, they take the course of all gauges. Their bounds keep their
// reach. Where there is no map, the mean is the sum of the steps as they were. The error is from
// the spread of the totals, as the first of a step's, with the fill_error_mm of each gauge, and the
// bounds are 1.645 of it either way, never below 0; a sum of the errors of steps would be far too
// small. Laws (each one is a test): the means of the steps of a storm add up to its mean; that is
// the mean
//   of the map's cells in the area; none is below 0; the same for any number of threads.
std::vector<StormArea> storm_areas(const Network& network, const RainTable& depth,
                                   std::span<const Storm> storms, std::span<const StormGauge> rows,
                                   std::span<const Area> areas, const StormMaps& maps,
                                   const AreaVariograms& variograms, AreaSeries& series,
                                   int threads = 0);

}  // namespace gaugeloom
