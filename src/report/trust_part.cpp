#include <fmt/format.h>

#include "report/page_parts_internal.hpp"
#include "report/page_table_internal.hpp"
#include "report/page_words_internal.hpp"

namespace gaugeloom {
namespace {

void add_scores(Html& html, const FillPlan& plan) {
  PageTable table(html, "Ways of filling, each gauge left out in turn",
                  {{"Way"}, {"Hourly RMSE, mm", PageCell::number}, {"Used"}});
  for (const MethodScore& score : plan.scores) {
    const bool used = score.method == plan.method && score.site_ratio == plan.site_ratio;
    table.text(shown_word(word(score.method)) + (score.site_ratio ? ", with site ratios" : ""));
    table.number(score.rmse_mm, 3).text(used ? "yes" : "no");
  }
  table.text("nearest gauge, for comparison").number(plan.nearest_rmse_mm, 3).text("no");
  table.text("plain inverse distance, for comparison");
  table.number(plan.plain_inverse_rmse_mm, 3).text("no");
}

}  // namespace

void add_trust_part(Html& html, const PageView& view) {
  const FillPlan& plan = view.in.filled.plan;
  if (view.in.rehearsal)
    add_rehearsal(html, view);
  else
    html.element("p",
                 "What the checks would find on this network is measured by planting known faults "
                 "in its own record: gaugeloom run --rehearse puts it here.");
  html.element("h3", "Estimates against what was measured");
  if (!plan.learned) {
    html.element("p", "There was too little rain to learn how wrong an estimate would be.");
    return;
  }
  html.element("p", fmt::format("Sum of the estimates over the sum of what was measured: {}. Of "
                                "measured depths within the 90 % band: {} % of hours, {} % of "
                                "days.",
                                shown_number(1 + plan.bias, 3), shown_percent(plan.hourly_coverage),
                                shown_percent(plan.daily_coverage)));
  add_scores(html, plan);
}

}  // namespace gaugeloom
