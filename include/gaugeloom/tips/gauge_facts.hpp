#pragma once
// What is known of a gauge beside its tips.

#include <optional>
#include <span>
#include <vector>

#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/outage.hpp"
#include "gaugeloom/rain/site_visit.hpp"
#include "gaugeloom/tips/calibration_table.hpp"

namespace gaugeloom {

// Water poured into a gauge during a visit.
struct Pour {
  Interval over;
  double poured_ml = 0;
};

struct GaugeFacts {
  std::vector<Gauge> rows;        // what it was when: one row, or its history by time
  std::vector<Interval> visits;   // tips within are test tips
  std::vector<Pour> pours;        // those of the visits in which water was poured
  std::vector<Interval> outages;  // the counter or its link was dead
  std::optional<CalibrationTable> table;
  bool declared_corrected = false;  // by the logger or somebody else
};

// One per gauge of the network, without tables. Requires: the gauges of visits and outages are rows
// of the network.
std::vector<GaugeFacts> gauge_facts(const Network& network, std::span<const SiteVisit> visits,
                                    std::span<const Outage> outages);

}  // namespace gaugeloom
