#pragma once
// The parts of the page, in their order; each writes one <section>. Internal.

#include <string>
#include <vector>

#include "gaugeloom/checks/gauge_overview.hpp"
#include "gaugeloom/report/report_page.hpp"
#include "report/gauge_course_internal.hpp"
#include "report/html_internal.hpp"

namespace gaugeloom {

// The input, and what several parts need of it.
struct PageView {
  const ReportInput& in;
  std::vector<GaugeOverview> overview;       // one per gauge
  std::vector<std::string> finding_ids;      // one per finding
  std::vector<std::string> finding_anchors;  // ids in the page; no two are the same
  std::vector<std::string> gauge_anchors;
  std::vector<std::string> storm_anchors;

  std::vector<std::size_t> visit_ranks;  // of gauges; 1 = go there first, 0 = nothing found
  std::vector<std::size_t> findings;     // told in detail; see most_worth_telling()
  std::vector<std::size_t> storms;       // told in detail; by time
  CourseDays days;
  std::vector<CourseSpan> months;

  // Nullptr where none was kept.
  const FindingEvidence* evidence(std::size_t finding) const;
  std::span<const GaugeDoubleMass> double_mass(std::size_t gauge) const;
  const Gauge& gauge(std::size_t row) const { return in.network.gauges[row]; }
};

PageView page_view(const ReportInput& input);

inline constexpr std::size_t kVisitsInFull = 10;   // our choice: about what one page of print holds
inline constexpr std::size_t kMostFindings = 200;  // our choice: who reads more reads a table

// The rows of at most `most` findings, in the order of all, without not_testable: first those of
// the visits that are told in full, then those with evidence, that last, that are confirmed, that
// were called last.
std::vector<std::size_t> most_worth_telling(const ReportInput& input,
                                            std::size_t most = kMostFindings);

// How a gauge stands at the end of the record: poor or suspect under a finding that lasts, else as
// its last step.
Quality state_of(const PageView& view, std::size_t gauge);

void add_head(Html& html, const PageView& view);
void add_act_part(Html& html, const PageView& view);
void add_new_part(Html& html, const PageView& view);
void add_map_part(Html& html, const PageView& view);
void add_findings_part(Html& html, const PageView& view);
void add_storms_part(Html& html, const PageView& view);
void add_areas_part(Html& html, const PageView& view);
void add_gauges_part(Html& html, const PageView& view);
void add_trust_part(Html& html, const PageView& view);
void add_provenance_part(Html& html, const PageView& view);

// In part `trust`. Requires: view.in.rehearsal.
void add_rehearsal(Html& html, const PageView& view);

// A place that a script draws in; without scripts it is not shown.
//   kind   "hyetograph", "days", ...; `of` is "data-finding" or "data-gauge", `row` which
//   words  what it shows, below it
void add_chart(Html& html, std::string_view kind, std::string_view of, std::size_t row,
               std::string_view words);

// What people call it: "name (id)", or the id alone.
std::string area_label(const Area& area);

// "From 2023-06-14 09:00Z to 2023-06-16 10:00Z", or "Since ..., and still so at the end of the
// record"; says so where it begins with the record, and may be older.
void add_span(Html& html, const PageView& view, const Finding& finding);
// "Also found there: blocked, release burst.": links to what else was found at its gauge.
void add_also_found(Html& html, const PageView& view, std::size_t finding);

}  // namespace gaugeloom
