#pragma once
// The page for people: one HTML file that a hydrologist reads in five minutes, a technician plans
// tomorrow from and an auditor follows years later. It needs no network: styles, scripts, pictures
// and data are in it.

#include <chrono>
#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/checks/check_network.hpp"
#include "gaugeloom/checks/finding_changes.hpp"
#include "gaugeloom/checks/reviewed.hpp"
#include "gaugeloom/checks/visit_order.hpp"
#include "gaugeloom/fill/fill_gaps.hpp"
#include "gaugeloom/geo/polygon.hpp"
#include "gaugeloom/io/run_record.hpp"
#include "gaugeloom/rain/finding.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rehearse/rehearsal.hpp"
#include "gaugeloom/report/storm_picture.hpp"
#include "gaugeloom/storms/area_rain.hpp"
#include "gaugeloom/storms/storm.hpp"
#include "gaugeloom/storms/storm_gauges.hpp"
#include "gaugeloom/storms/storm_overview.hpp"

namespace gaugeloom {

// What a run found, as its other files hold it. Everything referred to outlives the call.
struct ReportInput {
  std::string title;  // the name of the network, any text
  const Network& network;
  const FillResult& filled;                        // the series as written
  std::span<const Finding> findings = {};          // ids: finding_id()
  std::span<const FindingEvidence> evidence = {};  // one per finding, or none
  std::span<const FindingReview> reviews = {};     // the same
  std::span<const ReplayedDecision> decisions = {};
  bool has_last_run = false;
  std::span<const FindingChange> changes = {};   // since the last run
  std::span<const Visit> visits = {};            // rows of `findings`; the first to visit first
  std::span<const GaugeSummary> summaries = {};  // one per gauge; empty: the record came checked
  std::span<const GaugeDoubleMass> double_mass = {};
  std::span<const Storm> storms = {};  // by time
  std::span<const StormGauge> storm_gauges = {};
  std::span<const StormOverview> overviews = {};
  std::span<const Area> areas = {};  // in the working CRS of the network
  std::span<const StormArea> storm_areas = {};
  std::span<const StormPicture> pictures = {};  // of some of the storms, by storm
  const Rehearsal* rehearsal = nullptr;         // on this record; nullptr: none was run
  CheckOptions check = {};                      // as they were in force
  std::chrono::minutes day_start{0};            // after 00:00 UTC
  const RunRecord& run;                         // with the digests of its inputs
  std::vector<std::string> files;               // that stand beside the page
};

// How many storms a page tells in detail: 24, of large networks fewer, so that their tables keep to
// 6000 rows, but 6 at least; our choice.
std::size_t most_storms_in_detail(std::size_t gauges);
// Those with the largest mean totals, by time.
std::vector<std::size_t> wettest_storms(std::span<const StormOverview> overviews, std::size_t most);

// The page, as UTF-8. Nothing of the input is ever markup or script: texts are escaped, the data
// that the scripts draw from lie in an element that nothing in them can end, and a content security
// policy lets no script run but ours, and nothing be fetched.
//
// Laws (each one is a test): the same input gives the same bytes; ids are unique and every link
//   within the page has its target; the tables are complete without scripts; nothing missing is
//   shown as 0.
// Cost: one pass over the series, and a few hundred bytes for each gauge, finding and storm.
std::string report_page(const ReportInput& input);

}  // namespace gaugeloom
