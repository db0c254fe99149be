#pragma once
// One storm over the whole network, from what each gauge had of it.

#include <optional>
#include <span>
#include <vector>

#include "gaugeloom/storms/storm_gauges.hpp"

namespace gaugeloom {

struct StormOverview {
  std::size_t gauges = 0;                // that have a total
  std::size_t wet = 0;                   // of them, with rain
  double mean_mm = 0;                    // their mean total; NaN where none has one
  double max_mm = 0;                     // the largest; NaN likewise
  std::optional<std::size_t> max_gauge;  // its gauge, the first of equals
  double share_filled = 0;               // of the steps of all gauges
  double share_missing = 0;
  PeakDepths peaks_mm{};  // at any gauge; NaN where no gauge has one
};

// One per storm. `rows` are those of storm_gauges, `gauges` of them for each.
// Laws (each one is a test): mean_mm times gauges is the sum of the gauges' totals; no gauge has
//   more than max_mm, and no peak is above peaks_mm.
std::vector<StormOverview> storm_overviews(std::span<const StormGauge> rows, std::size_t gauges);

// The storm with the largest mean total, the first of equals; nothing where none has one.
std::optional<std::size_t> wettest_storm(std::span<const StormOverview> overviews);

}  // namespace gaugeloom
