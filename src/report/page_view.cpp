#include <algorithm>
#include <cmath>
#include <functional>
#include <numeric>
#include <set>
#include <tuple>

#include "report/page_parts_internal.hpp"
#include "report/page_table_internal.hpp"
#include "report/page_words_internal.hpp"

namespace gaugeloom {
namespace {

// Our choices: what a strip and a chart still show.
constexpr std::size_t kMostDays = 400;
constexpr std::size_t kMostMonths = 36;

// The anchor, with a number after it where it is taken.
std::string free_anchor(std::set<std::string>& taken, const std::string& wish) {
  std::string anchor = wish;
  for (int i = 2; !taken.insert(anchor).second; ++i) anchor = wish + "_" + std::to_string(i);
  return anchor;
}

}  // namespace

std::size_t most_storms_in_detail(std::size_t gauges) {
  constexpr std::size_t kRows = 6000, kMost = 24, kLeast = 6;
  return std::clamp(kRows / std::max<std::size_t>(gauges, 1), kLeast, kMost);
}

std::vector<std::size_t> wettest_storms(std::span<const StormOverview> overviews,
                                        std::size_t most) {
  std::vector<std::size_t> rows(overviews.size());
  std::iota(rows.begin(), rows.end(), std::size_t{0});
  const auto mean_mm = [&](std::size_t row) {  // without any total the last
    return std::isnan(overviews[row].mean_mm) ? -1.0 : overviews[row].mean_mm;
  };
  std::ranges::stable_sort(rows, std::greater<>{}, mean_mm);
  rows.resize(std::min(rows.size(), most));
  std::ranges::sort(rows);
  return rows;
}

std::vector<std::size_t> most_worth_telling(const ReportInput& input, std::size_t most) {
  std::vector<char> visited(input.findings.size(), 0);
  for (const Visit& visit : input.visits.first(std::min(kVisitsInFull, input.visits.size())))
    visited[visit.finding] = 1;
  std::vector<std::size_t> rows;
  for (std::size_t row = 0; row < input.findings.size(); ++row)
    if (input.findings[row].kind != FindingKind::not_testable) rows.push_back(row);
  const auto rank = [&](std::size_t row) {
    const Finding& finding = input.findings[row];
    const bool has_evidence = row < input.evidence.size() && !input.evidence[row].empty();
    return std::tuple(visited[row] == 0, !has_evidence, finding.to.has_value(),
                      finding.tier == Tier::provisional, -finding.called.time_since_epoch());
  };
  std::ranges::stable_sort(rows, {}, rank);
  rows.resize(std::min(rows.size(), most));
  std::ranges::sort(rows);
  return rows;
}

PageView page_view(const ReportInput& input) {
  PageView view{input, {}, {}, {}, {}, {}, {}, {}, {}, {}, {}};
  view.overview = gauge_overview(input.network, input.filled.record, input.findings, input.visits,
                                 input.summaries);
  std::set<std::string> taken;
  for (const Gauge& gauge : input.network.gauges)
    view.gauge_anchors.push_back(free_anchor(taken, "gauge-" + anchor_name(gauge.id)));
  for (const Finding& finding : input.findings) {
    view.finding_ids.push_back(finding_id(view.gauge(finding.gauge).id, finding));
    view.finding_anchors.push_back(
        free_anchor(taken, "finding-" + anchor_name(view.finding_ids.back())));
  }
  for (const Storm& storm : input.storms)
    view.storm_anchors.push_back(free_anchor(taken, "storm-" + anchor_name(storm.id)));
  const StepAxis& axis = input.filled.record.depth.axis();
  view.findings = most_worth_telling(input);
  view.storms = wettest_storms(input.overviews, most_storms_in_detail(input.network.size()));
  view.days = course_days(axis, input.day_start, kMostDays);
  view.months = course_months(axis, input.day_start, kMostMonths);
  view.visit_ranks.assign(input.network.size(), 0);
  std::size_t rank = 0;
  for (const Visit& visit : input.visits) view.visit_ranks[visit.gauge] = ++rank;
  return view;
}

const FindingEvidence* PageView::evidence(std::size_t finding) const {
  if (finding >= in.evidence.size() || in.evidence[finding].empty()) return nullptr;
  return &in.evidence[finding];
}

std::span<const GaugeDoubleMass> PageView::double_mass(std::size_t gauge) const {
  const auto first = std::ranges::lower_bound(in.double_mass, gauge, {}, &GaugeDoubleMass::gauge);
  const auto last = std::ranges::upper_bound(in.double_mass, gauge, {}, &GaugeDoubleMass::gauge);
  return {first, last};
}

Quality state_of(const PageView& view, std::size_t gauge) {
  const QualityTable& series = view.in.filled.record.quality;
  Quality state = series.steps == 0 ? Quality::missing : series.at(gauge, series.steps - 1);
  for (const Finding& finding : view.in.findings) {
    if (finding.gauge != gauge || finding.to || finding.kind == FindingKind::not_testable) continue;
    if (finding.tier == Tier::confirmed) return Quality::poor;
    state = Quality::suspect;
  }
  return state;
}

void add_chart(Html& html, std::string_view kind, std::string_view of, std::size_t row,
               std::string_view words) {
  const std::string which = std::to_string(row);
  html.open("figure", {{"class", "needs-scripts chart"}, {"data-chart", kind}, {of, which}});
  html.element("figcaption", words).close();
}

void add_span(Html& html, const PageView& view, const Finding& finding) {
  html.text(finding.to ? "From " : "Since ");
  add_time(html, finding.from);
  if (finding.from <= view.in.filled.record.depth.axis().span().from)
    html.text(" (the record begins then; it may be older)");
  if (!finding.to) {
    html.text(", and still so at the end of the record");
    return;
  }
  html.text(" to ");
  add_time(html, *finding.to);
}

void add_also_found(Html& html, const PageView& view, std::size_t finding) {
  const std::span<const Finding> all = view.in.findings;
  constexpr std::size_t kLinks = 5;  // our choice; the part of the gauge has all
  std::size_t others = 0;
  for (std::size_t row = 0; row < all.size(); ++row) {
    if (row == finding || all[row].gauge != all[finding].gauge) continue;
    if (all[row].kind == FindingKind::not_testable || ++others > kLinks) continue;
    if (others == 1) html.open("p").text("Also found there: ");
    if (others > 1) html.text(", ");
    html.element("a", shown_word(word(all[row].kind)), {{"href", "#" + view.finding_anchors[row]}});
  }
  if (others > kLinks) html.text(" and " + std::to_string(others - kLinks) + " more");
  if (others > 0) html.text(".").close();
}

}  // namespace gaugeloom
