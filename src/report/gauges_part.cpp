#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "report/page_parts_internal.hpp"
#include "report/page_table_internal.hpp"
#include "report/page_words_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kMonthsInTable = 12;  // our choice; all stand in totals.csv

// Why it has its rank: the finding that weighs most, or what the overview says without one.
std::string reason_words(const PageView& view, std::size_t row) {
  const std::size_t rank = view.visit_ranks[row];
  if (rank == 0) return view.overview[row].visit_reason;
  const Finding& finding = view.in.findings[view.in.visits[rank - 1].finding];
  const std::string since = shown_time(finding.from);
  return fmt::format(
      "{} {}, {}", word(finding.tier), shown_word(word(finding.kind)),
      finding.to ? since + " to " + shown_time(*finding.to) : "since " + since + ", and still so");
}

// The same without the numbers that stand inside.
std::string short_reason(const PageView& view, std::size_t row) {
  const std::string words = reason_words(view, row);
  return words.substr(0, words.find(';'));
}

void add_table(Html& html, const PageView& view) {
  PageTable table(html,
                  "All gauges: rain as read, rain of the filled series (no total where a step is "
                  "missing), findings, and in which order to visit them",
                  {{"Gauge"},
                   {"Read, mm", PageCell::number},
                   {"Series, mm", PageCell::number},
                   {"Missing, %", PageCell::number},
                   {"Estimated, %", PageCell::number},
                   {"Confirmed", PageCell::number},
                   {"Provisional", PageCell::number},
                   {"Visit", PageCell::number},
                   {"Why", PageCell::words}});
  for (std::size_t row = 0; row < view.overview.size(); ++row) {
    const GaugeOverview& overview = view.overview[row];
    table.link(view.gauge_anchors[row], view.gauge(row).label());
    table.number(overview.observed_mm, 1).number(overview.total_mm, 1);
    table.percent(overview.share_missing).percent(overview.share_estimated);
    table.count(overview.confirmed).count(overview.provisional).count(overview.visit_rank);
    table.text(short_reason(view, row));
  }
}

std::string noticed_words(const GaugeSummary& summary) {
  if (!(summary.share_testable > 0)) return "Nothing: there is too little to hold it against.";
  std::string words = std::isnan(summary.smallest_block_mm)
                          ? "Not even a full block. "
                          : fmt::format("A full block after {:.1f} mm were lost (median). ",
                                        summary.smallest_block_mm);
  words += std::isnan(summary.smallest_step_percent)
               ? "No fall of calibration of up to 50 %."
               : fmt::format("A fall of calibration from {:.0f} % on, four times in five.",
                             summary.smallest_step_percent);
  return words;
}

void add_place(Html& html, const Gauge& gauge) {
  html.element("dt", "Place");
  if (gauge.lon_lat)
    html.element("dd", fmt::format("latitude {:.5f}, longitude {:.5f}", gauge.lon_lat->lat_deg,
                                   gauge.lon_lat->lon_deg));
  else
    html.element("dd",
                 fmt::format("x {:.0f} m, y {:.0f} m", gauge.position.x_m, gauge.position.y_m));
  if (gauge.elevation_m)
    html.element("dt", "Height").element("dd", fmt::format("{:.0f} m", *gauge.elevation_m));
}

// Water of a blocked funnel that came late: in the sums it is measured, in its steps an estimate.
void add_recovered(Html& html, const PageView& view, std::size_t row) {
  for (const RecoveredWater& one : view.in.filled.recovered) {
    if (one.gauge != row || !one.put_back) continue;
    html.element("dt", "Put back").open("dd");
    html.text(shown_number(one.read_mm, 1) + " mm read late, laid where they fell, ");
    add_time(html, one.over.from);
    html.text(" to ");
    add_time(html, one.over.to);
    html.text(": of the gauge in their sum, estimated step by step");
    html.close();
  }
}

void add_facts(Html& html, const PageView& view, std::size_t row) {
  html.open("dl", {{"class", "numbers"}});
  add_place(html, view.gauge(row));
  if (!view.in.summaries.empty()) {
    const GaugeSummary& summary = view.in.summaries[row];
    html.element("dt", "Would have been noticed").element("dd", noticed_words(summary));
    html.element("dt", "Its rain over its neighbours'");
    html.element("dd", fmt::format("{} (from {})", shown_number(summary.site_ratio, 2),
                                   counted(summary.neighbours, "gauge")));
  }
  add_recovered(html, view, row);
  html.close();
}

void add_findings_of(Html& html, const PageView& view, std::size_t gauge) {
  bool any = false;
  for (std::size_t row = 0; row < view.in.findings.size(); ++row) {
    const Finding& finding = view.in.findings[row];
    if (finding.gauge != gauge || finding.kind == FindingKind::not_testable) continue;
    if (!any) html.element("h4", "Findings").open("ul");
    any = true;
    html.open("li").element("a", shown_word(word(finding.kind)),
                            {{"href", "#" + view.finding_anchors[row]}});
    html.text(" ");
    add_tier(html, finding.tier);
    html.text(" ");
    add_span(html, view, finding);
    html.close();
  }
  if (any) html.close();
}

std::string month_of(const CourseSpan& month) { return shown_time(month.begin).substr(0, 7); }

void add_months(Html& html, const PageView& view, std::size_t row) {
  const std::size_t shown = std::min(kMonthsInTable, view.months.size());
  PageTable table(html,
                  "Totals of the last months, with 5 % and 95 % bounds of what was estimated in "
                  "them, a gauge's own error left out; no total where steps are missing, then Low "
                  "is what is known",
                  {{"Month", PageCell::when},
                   {"Total, mm", PageCell::number},
                   {"Low, mm", PageCell::number},
                   {"High, mm", PageCell::number},
                   {"Estimated, %", PageCell::number},
                   {"Missing, %", PageCell::number}});
  for (const CourseSpan& month : std::span(view.months).last(shown)) {
    const ReportingTotal total =
        total_over(view.in.filled.record, view.in.filled.errors, row, month.steps);
    table.text(month_of(month)).number(total.depth_mm, 1).number(total.low_mm, 1);
    table.number(total.high_mm, 1).percent(total.share_estimated).percent(total.share_missing);
  }
}

std::string days_words(const PageView& view) {
  const auto days = view.days.length.count();
  const std::string piece =
      days == 1 ? std::string("Each piece: a day") : fmt::format("Each piece: {} days", days);
  return piece + "; its quality is the worst that holds for a 24th of it or longer.";
}

void add_course(Html& html, const PageView& view, std::size_t row) {
  add_chart(html, "days", "data-gauge", row, days_words(view));
  add_chart(html, "months", "data-gauge", row,
            "Totals of months with the 90 % band of what was estimated; the first and the last "
            "hold what of them lies in the record; – where steps are missing.");
  if (view.double_mass(row).size() > 1)
    add_chart(html, "double_mass", "data-gauge", row,
              "Double mass: rain of the gauge against that of its neighbours, both added up. A "
              "bend may be a change of the gauge.");
  add_months(html, view, row);
}

void add_gauge(Html& html, const PageView& view, std::size_t row) {
  html.open(
      "details",
      {{"id", view.gauge_anchors[row]}, {"class", "gauge"}, {"data-gauge", std::to_string(row)}});
  html.open("summary").element("h3", view.gauge(row).label());
  html.text(" " + short_reason(view, row)).close();
  add_facts(html, view, row);
  add_findings_of(html, view, row);
  add_course(html, view, row);
  html.close();
}

}  // namespace

void add_gauges_part(Html& html, const PageView& view) {
  add_table(html, view);
  for (std::size_t row = 0; row < view.in.network.size(); ++row) add_gauge(html, view, row);
}

}  // namespace gaugeloom
