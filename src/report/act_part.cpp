#include <algorithm>

#include <fmt/format.h>

#include "report/page_parts_internal.hpp"
#include "report/page_table_internal.hpp"
#include "report/page_words_internal.hpp"

namespace gaugeloom {
namespace {

void add_visit(Html& html, const PageView& view, const Visit& visit) {
  const Finding& finding = view.in.findings[visit.finding];
  html.open("li").open("h3");
  html.element("a", view.gauge(visit.gauge).label(),
               {{"href", "#" + view.gauge_anchors[visit.gauge]}});
  html.text(": ").element("a", shown_word(word(finding.kind)),
                          {{"href", "#" + view.finding_anchors[visit.finding]}});
  html.text(" ");
  add_tier(html, finding.tier);
  html.close();
  html.open("p");
  add_span(html, view, finding);
  html.text(fmt::format(". About {} mm at stake. ", shown_number(visit.at_stake_mm, 0)));
  html.close();
  html.element("p", visit_reason(visit, finding));
  add_also_found(html, view, visit.finding);
  html.open("p").element("strong", "Look first: ").text(look_first(finding.kind)).close();
  html.close();
}

void add_further_visits(Html& html, const PageView& view, std::span<const Visit> visits) {
  PageTable table(html, "Further visits, in order",
                  {{"Rank", PageCell::number},
                   {"Gauge"},
                   {"Finding"},
                   {"Tier"},
                   {"Since", PageCell::when},
                   {"At stake, mm", PageCell::number},
                   {"Look first", PageCell::words}});
  std::size_t rank = kVisitsInFull;
  for (const Visit& visit : visits) {
    const Finding& finding = view.in.findings[visit.finding];
    table.count(++rank).link(view.gauge_anchors[visit.gauge], view.gauge(visit.gauge).label());
    table.link(view.finding_anchors[visit.finding], shown_word(word(finding.kind)));
    table.tier(finding.tier).time(finding.from).number(visit.at_stake_mm, 0);
    table.text(look_first(finding.kind));
  }
}

}  // namespace

void add_act_part(Html& html, const PageView& view) {
  const std::span<const Visit> visits = view.in.visits;
  if (visits.empty()) {
    html.element("p", view.in.summaries.empty()
                          ? "The record came checked already: this run looked for no faults."
                          : "Nothing was found that asks for a visit. Gauges without a finding may "
                            "still be wrong by less than can be seen.");
    return;
  }
  html.element(
      "p",
      "Gauges to visit, first those with the most rain at stake, weighed by how likely the "
      "fault is and how far away the next gauges are. What is at stake is no measurement: "
      "what was read too little or too much (all of it by a wrong clock), and while a "
      "fault lasts as much again as 30 more days would cost; a quarter where it is over.");
  html.open("p").element("strong", "On the way: ").text(visit_caution()).close();
  html.open("ol", {{"class", "visits"}});
  for (const Visit& visit : visits.first(std::min(kVisitsInFull, visits.size())))
    add_visit(html, view, visit);
  html.close();
  if (visits.size() > kVisitsInFull) add_further_visits(html, view, visits.subspan(kVisitsInFull));
}

}  // namespace gaugeloom
