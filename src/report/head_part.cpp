#include <algorithm>

#include <fmt/format.h>

#include "gaugeloom/time/iso8601.hpp"
#include "report/page_parts_internal.hpp"
#include "report/page_table_internal.hpp"
#include "report/page_words_internal.hpp"

namespace gaugeloom {
namespace {

constexpr std::string_view kCautions[] = {
    "An estimate is not a measurement: filled values, bounds and maps come from neighbouring "
    "gauges, and a cloudburst between them is seen by none.",
    "No warning, design or operating decision may rest on this page without review by the "
    "responsible hydrological or meteorological service, under local codes and by people licensed "
    "for it.",
    "Field visits: not in lightning, not alone near water or at height, and under your "
    "organisation's safety rules."};

std::size_t of_tier(const PageView& view, Tier tier) {
  return static_cast<std::size_t>(
      std::count_if(view.in.findings.begin(), view.in.findings.end(), [tier](const Finding& one) {
        return one.kind != FindingKind::not_testable && one.tier == tier;
      }));
}

// What of the page may still change.
std::vector<std::string> provisional_words(const PageView& view) {
  std::vector<std::string> words;
  if (const std::size_t findings = of_tier(view, Tier::provisional); findings > 0)
    words.push_back(counted(findings, "finding") +
                    " still without enough evidence to be confirmed; until then no value is "
                    "replaced by default");
  const auto open =
      static_cast<std::size_t>(std::ranges::count_if(view.in.findings, [](const Finding& one) {
        return one.kind != FindingKind::not_testable && !one.to;
      }));
  if (open > 0)
    words.push_back(counted(open, "finding") + " that had not ended when the record did");
  if (!view.in.storms.empty() && view.in.storms.back().running)
    words.push_back("the last storm: the record ends before it was over");
  return words;
}

void add_lede(Html& html, const PageView& view) {
  const StepAxis& axis = view.in.filled.record.depth.axis();
  html.open("p", {{"class", "lede"}});
  html.text(fmt::format("{}, ", counted(view.in.network.size(), "gauge")));
  add_time(html, axis.span().from);
  html.text(" to ");
  add_time(html, axis.span().to);
  html.text(fmt::format(" in steps of {}. ", shown_duration(axis.step())));
  if (view.in.summaries.empty())
    html.text("The record came checked already; it was not checked again here. ");
  else
    html.text(fmt::format("{} confirmed, {} provisional. ",
                          counted(of_tier(view, Tier::confirmed), "finding"),
                          of_tier(view, Tier::provisional)));
  html.text(fmt::format(
      "{}. Times are UTC and name the end of a step; a day begins at {}; {} "
      "stands where nothing is known.",
      counted(view.in.storms.size(), "storm"), shown_clock(view.in.day_start), kUnknown));
  html.close();
}

// The first gauges to visit, so that the head says what is wrong.
void add_first_visits(Html& html, const PageView& view) {
  constexpr std::size_t kFirst = 3;
  const std::span<const Visit> visits = view.in.visits;
  if (visits.empty()) return;
  html.open("p").text("To visit first: ");
  for (std::size_t i = 0; i < std::min(kFirst, visits.size()); ++i) {
    html.text(i == 0 ? "" : "; ");
    html.element("a",
                 view.gauge(visits[i].gauge).label() + ", " +
                     shown_word(word(view.in.findings[visits[i].finding].kind)),
                 {{"href", "#" + view.finding_anchors[visits[i].finding]}});
  }
  if (visits.size() > kFirst)
    html.text("; and ").element("a", fmt::format("{} more", visits.size() - kFirst),
                                {{"href", "#act"}});
  html.text(".").close();
}

}  // namespace

void add_head(Html& html, const PageView& view) {
  html.open("header", {{"id", "head"}}).element("h1", view.in.title);
  add_lede(html, view);
  add_first_visits(html, view);
  if (const auto words = provisional_words(view); !words.empty()) {
    html.element("p", "Provisional on this page:", {{"class", "provisional"}}).open("ul");
    for (const std::string& one : words) html.element("li", one);
    html.close();
  }
  html.open("ul", {{"class", "cautions"}});
  for (const std::string_view caution : kCautions) html.element("li", caution);
  html.close().close();
}

}  // namespace gaugeloom
