#include <algorithm>

#include <fmt/format.h>

#include "report/page_parts_internal.hpp"
#include "report/page_table_internal.hpp"
#include "report/page_words_internal.hpp"

namespace gaugeloom {
namespace {

// A cell with the finding, linked where it is on the page.
void add_finding_cell(PageTable& table, const PageView& view, const std::string& finding_id) {
  const auto found = std::ranges::find(view.finding_ids, finding_id);
  if (found == view.finding_ids.end())
    table.text(finding_id);
  else
    table.link(view.finding_anchors[static_cast<std::size_t>(found - view.finding_ids.begin())],
               finding_id);
}

void add_changes(Html& html, const PageView& view) {
  html.element("h3", "Since the last run");
  if (view.in.changes.empty()) {
    html.element("p", "Nothing has changed among the findings.");
    return;
  }
  PageTable table(html, "What is new among the findings",
                  {{"Finding"}, {"Gauge"}, {"Kind"}, {"Change"}, {"In words", PageCell::words}});
  for (const FindingChange& one : view.in.changes) {
    add_finding_cell(table, view, one.finding_id);
    table.text(one.gauge).text(shown_word(word(one.kind))).text(shown_word(word(one.change)));
    table.text(one.sentence);
  }
}

std::size_t of_outcome(const PageView& view, DecisionOutcome outcome) {
  return static_cast<std::size_t>(
      std::ranges::count(view.in.decisions, outcome, &ReplayedDecision::outcome));
}

void add_decisions(Html& html, const PageView& view) {
  html.element("h3", "Decisions replayed");
  html.element("p",
               fmt::format("{}: {} applied, {} stale because the data changed, {} whose finding is "
                           "not found any more. What does not hold is asked again.",
                           counted(view.in.decisions.size(), "decision"),
                           of_outcome(view, DecisionOutcome::applied),
                           of_outcome(view, DecisionOutcome::stale),
                           of_outcome(view, DecisionOutcome::not_found)));
  PageTable table(html, "Decisions, those that do not hold any more first",
                  {{"Finding"},
                   {"Gauge"},
                   {"Verdict"},
                   {"Shift, minutes", PageCell::number},
                   {"Reason", PageCell::words},
                   {"By"},
                   {"On", PageCell::when},
                   {"Outcome"},
                   {"Why", PageCell::words}});
  for (const bool holding : {false, true})
    for (const ReplayedDecision& one : view.in.decisions) {
      if ((one.outcome == DecisionOutcome::applied) != holding) continue;
      const Decision& decision = one.decision;
      add_finding_cell(table, view, decision.finding_id);
      table.text(view.gauge(decision.gauge).label()).text(word(decision.verdict));
      if (decision.verdict == Verdict::shift)
        table.number(decision.shift_minutes, 0);
      else
        table.text(kUnknown);
      table.text(decision.reason).text(decision.by).text(decision.on);
      table.text(shown_word(word(one.outcome))).text(one.why);
    }
}

}  // namespace

void add_new_part(Html& html, const PageView& view) {
  if (view.in.has_last_run) add_changes(html, view);
  if (view.in.decisions.empty()) return;
  add_decisions(html, view);
  html.open("div", {{"class", "needs-scripts decided"}}).close();
}

}  // namespace gaugeloom
