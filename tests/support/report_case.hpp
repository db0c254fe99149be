#pragma once
// A small run in memory for the tests of the page: nine gauges and sixty days of hours; one gauge
// is blocked, one silent for three days, one far from all others; an area; and names that try to be
// markup.

#include "gaugeloom/report/report_page.hpp"
#include "support/synthetic_rain.hpp"

namespace gaugeloom::support {

inline const char* const kHostileName = "</script><script>alert(1)</script> \"&' \u202E\u2028";

struct ReportCase {
  Network network;
  CheckResult checked;
  FillResult filled;
  std::vector<Visit> visits;
  StormList storms;
  std::vector<StormGauge> rows;
  std::vector<StormOverview> overviews;
  std::vector<Area> areas;
  std::vector<StormArea> storm_areas;
  RunRecord run;

  ReportCase();
  ReportInput input() const;
};

// Made once.
const ReportCase& report_case();

}  // namespace gaugeloom::support
