#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "gaugeloom/time/iso8601.hpp"
#include "report/page_parts_internal.hpp"
#include "report/page_table_internal.hpp"
#include "report/page_words_internal.hpp"

namespace gaugeloom {
namespace {

void add_table(Html& html, const PageView& view) {
  PageTable table(html, "All findings",
                  {{"Gauge"},
                   {"Finding"},
                   {"Tier"},
                   {"From", PageCell::when},
                   {"To", PageCell::when},
                   {"Told live", PageCell::when},
                   {"Score", PageCell::number},
                   {"Read, mm", PageCell::number},
                   {"Expected, mm", PageCell::number}});
  for (std::size_t row = 0; row < view.in.findings.size(); ++row) {
    const Finding& finding = view.in.findings[row];
    if (finding.kind == FindingKind::not_testable) continue;
    table.link(view.gauge_anchors[finding.gauge], view.gauge(finding.gauge).label());
    if (std::ranges::binary_search(view.findings, row))
      table.link(view.finding_anchors[row], shown_word(word(finding.kind)));
    else
      table.place(view.finding_anchors[row], shown_word(word(finding.kind)));
    table.tier(finding.tier).time(finding.from);
    if (finding.to)
      table.time(*finding.to);
    else
      table.text("lasting");
    table.time(finding.called).number(finding.score, 1);
    table.number(finding.observed_mm, 1).number(finding.expected_mm, 1);
  }
}

void add_pair(Html& html, std::string_view term, std::string_view words) {
  html.element("dt", term).element("dd", words);
}

std::string neighbour_words(const PageView& view, const Finding& finding) {
  std::string words;
  for (const std::size_t row : finding.neighbours)
    words += (words.empty() ? "" : ", ") + view.gauge(row).label();
  return words;
}

void add_numbers(Html& html, const PageView& view, std::size_t row) {
  const Finding& finding = view.in.findings[row];
  html.open("dl", {{"class", "numbers"}});
  html.element("dt", "Time").open("dd");
  add_span(html, view, finding);
  html.close();
  html.element("dt", "Could have been told").open("dd");
  add_time(html, finding.called);
  html.close();
  add_pair(html, "Read", shown_number(finding.observed_mm, 1) + " mm");
  if (std::isfinite(finding.expected_mm) && !finding.neighbours.empty())
    add_pair(html, "Expected from the neighbours", shown_number(finding.expected_mm, 1) + " mm");
  add_pair(html, "Score", shown_number(finding.score, 1));
  if (finding.kind == FindingKind::clock_offset)
    add_pair(html, "Stamped later than true by",
             shown_number(finding.shift_minutes, 0) + " minutes");
  if (!finding.neighbours.empty()) add_pair(html, "Held against", neighbour_words(view, finding));
  if (row < view.in.reviews.size() && !view.in.reviews[row].decision.empty())
    add_pair(html, "Decision", view.in.reviews[row].decision);
  add_pair(html, "Id", view.finding_ids[row]);
  html.close();
}

bool lasts_long(const Finding& finding) {
  return !finding.to || *finding.to - finding.from > std::chrono::hours(24);
}

void add_sums(Html& html, std::size_t place) {
  add_chart(html, "mass", "data-finding", place,
            "Rain added up, over bars in which both the gauge and what was expected of it are "
            "known; where the gauge's line breaks, one of the two is not.");
}

void add_evidence(Html& html, const PageView& view, std::size_t place) {
  const std::size_t row = view.findings[place];
  const Finding& finding = view.in.findings[row];
  const FindingEvidence* evidence = view.evidence(row);
  if (!evidence) {
    html.element("p",
                 "No charts: the page holds those of 200 findings, first those that last, then the "
                 "confirmed ones, then those called last.",
                 {{"class", "note"}});
    return;
  }
  // What builds up over days shows in the sums, a short spell in its steps.
  if (lasts_long(finding)) add_sums(html, place);
  add_chart(html, "hyetograph", "data-finding", place,
            fmt::format("Rain of the gauge, {}. Each bar: {}; times in UTC.",
                        finding.neighbours.empty()
                            ? "and what is expected of it"
                            : "what its neighbours lead us to expect, and the neighbours' own",
                        shown_duration(evidence->bar)));
  if (!lasts_long(finding)) add_sums(html, place);
  if (!evidence->score.points.empty())
    add_chart(html, "score", "data-finding", place,
              "The score as it grew: of all that had been read until then.");
}

void add_deciding(Html& html, std::size_t place) {
  html.open("div", {{"class", "needs-scripts decide"}, {"data-finding", std::to_string(place)}});
  html.close();
}

// `place` in the list of those told in detail, which is that of the page's data too.
void add_finding(Html& html, const PageView& view, std::size_t place) {
  const std::size_t row = view.findings[place];
  const Finding& finding = view.in.findings[row];
  html.open("details", {{"id", view.finding_anchors[row]},
                        {"class", "finding"},
                        {"data-finding", std::to_string(place)}});
  html.open("summary");
  html.element("h3", view.gauge(finding.gauge).label() + ": " + shown_word(word(finding.kind)));
  html.text(" ");
  add_tier(html, finding.tier);
  html.text(" ");
  add_span(html, view, finding);
  html.close();
  html.element("p", finding.reason, {{"class", "reason"}});
  html.open("p", {{"class", "innocent"}}).element("strong", "Could also be: ");
  html.text(finding.innocent_explanation).close();
  add_numbers(html, view, row);
  add_evidence(html, view, place);
  add_deciding(html, place);
  html.close();
}

bool is_fault(const Finding& finding) { return finding.kind != FindingKind::not_testable; }

void add_not_testable(Html& html, const PageView& view) {
  PageTable table(html, "Not testable: nothing to hold these gauges against",
                  {{"Gauge"}, {"From", PageCell::when}, {"Reason", PageCell::words}});
  for (std::size_t row = 0; row < view.in.findings.size(); ++row) {
    const Finding& finding = view.in.findings[row];
    if (is_fault(finding)) continue;
    table.link(view.gauge_anchors[finding.gauge], view.gauge(finding.gauge).label());
    table.time(finding.from).text(finding.reason);
  }
}

}  // namespace

void add_findings_part(Html& html, const PageView& view) {
  const auto faults = std::ranges::count_if(view.in.findings, is_fault);
  if (view.in.summaries.empty())
    html.element("p", "The record came checked already: this run looked for no faults.");
  else if (faults == 0)
    html.element("p", "Nothing was found.");
  if (faults > 0) {
    html.element("p",
                 "A finding is a reason to look, not a verdict. Confirmed ones are replaced by "
                 "estimates unless the run was told otherwise; provisional ones still feed the "
                 "series. Told live: when someone watching would have been told. The score weighs "
                 "the evidence; the levels it is held against stand under where this comes from.");
    add_table(html, view);
    html.open("noscript")
        .element(
            "p",
            "To decide on findings without scripts, write a CSV file with the columns finding_id, "
            "gauge, from, to, verdict, shift_minutes, reason, by, on, evidence_hash (verdict: "
            "accept, "
            "reject or shift) and give it to the next run with --decisions.");
    html.close();
    if (view.findings.size() < static_cast<std::size_t>(faults))
      html.element("p",
                   fmt::format("{} of the {} findings are told in detail below: those of the first "
                               "visits, then those that last, the confirmed ones and those called "
                               "last. Of the others findings.csv holds the reason and all else, "
                               "and a decision about one is a line in the file for --decisions.",
                               view.findings.size(), faults),
                   {{"class", "note"}});
    for (std::size_t place = 0; place < view.findings.size(); ++place)
      add_finding(html, view, place);
  }
  if (static_cast<std::size_t>(faults) < view.in.findings.size()) add_not_testable(html, view);
}

}  // namespace gaugeloom
