// What a rehearsal says in part `trust`: what was predicted against what was achieved.

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

#include "gaugeloom/rehearse/poisson_interval.hpp"
#include "gaugeloom/rehearse/rehearsal_table.hpp"
#include "report/page_parts_internal.hpp"
#include "report/page_table_internal.hpp"
#include "report/page_words_internal.hpp"

namespace gaugeloom {
namespace {

constexpr double kBand = 0.9;  // what the bounds of an estimate promise to hold

// A row of predicted against achieved; `low` and `high` bound what was achieved where known.
struct Promise {
  std::string what;
  double predicted = 0, achieved = 0;
  double low = std::numeric_limits<double>::quiet_NaN();
  double high = std::numeric_limits<double>::quiet_NaN();
  int decimals = 1;
  std::size_t seen = 0;
};

double median_of(std::vector<double> values) {
  std::erase_if(values, [](double value) { return std::isnan(value); });
  if (values.empty()) return std::numeric_limits<double>::quiet_NaN();
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::ranges::nth_element(values, middle);
  return *middle;
}

Promise calls(std::string what, double predicted, std::size_t count, double gauge_years) {
  const RateInterval rate = poisson_interval(count, gauge_years);
  return {std::move(what), predicted, rate.rate, rate.low, rate.high, 2, count};
}

std::string window_words(std::string_view window) {
  return (window == "step" || window == "storm" ? "a " : "") + std::string(window);
}

std::vector<Promise> promises(const ReportInput& in) {
  const FalseCalls found = false_calls(*in.rehearsal);
  std::vector<Promise> all = {
      calls("Calls per gauge and year, provisional or confirmed",
            in.check.provisional_calls_per_gauge_year, found.any, found.gauge_years),
      calls("Calls per gauge and year, confirmed", in.check.confirmed_calls_per_gauge_year,
            found.confirmed, found.gauge_years)};
  const std::vector<RehearsalRow> rows =
      rehearsal_rows(*in.rehearsal, in.filled.record.depth.axis().step());
  std::vector<double> blocks_mm;
  for (const GaugeSummary& gauge : in.summaries) blocks_mm.push_back(gauge.smallest_block_mm);
  all.push_back({.what = "Rain lost before a full block is called, median, mm",
                 .predicted = median_of(blocks_mm),
                 .achieved = rows.front().median_mm,
                 .seen = rows.front().telling});
  for (const WindowScore& score : in.rehearsal->fill.windows) {
    if (score.wet.windows == 0) continue;
    all.push_back({.what = fmt::format("Filled depths of {}, where 1 mm or more was estimated, "
                                       "within their 90 % band, %",
                                       window_words(score.window)),
                   .predicted = 100 * kBand,
                   .achieved = 100 * score.wet.coverage,
                   .seen = score.wet.windows});
  }
  return all;
}

void add_promises(Html& html, const ReportInput& in) {
  PageTable table(html, "Predicted against achieved",
                  {{"What", PageCell::words},
                   {"Predicted", PageCell::number},
                   {"Achieved", PageCell::number},
                   {"At least", PageCell::number},
                   {"At most", PageCell::number},
                   {"Seen", PageCell::number}});
  for (const Promise& one : promises(in)) {
    table.text(one.what).number(one.predicted, one.decimals).number(one.achieved, one.decimals);
    table.number(one.low, one.decimals).number(one.high, one.decimals).count(one.seen);
  }
}

void add_faults(Html& html, const ReportInput& in) {
  PageTable table(html, "Planted faults",
                  {{"Fault"},
                   {"Size"},
                   {"Planted", PageCell::number},
                   {"Telling", PageCell::number},
                   {"Found, %", PageCell::number},
                   {"Confirmed, %", PageCell::number},
                   {"Named right, %", PageCell::number},
                   {"Before 10 mm, %", PageCell::number},
                   {"Median lost, mm", PageCell::number}});
  for (const RehearsalRow& row :
       rehearsal_rows(*in.rehearsal, in.filled.record.depth.axis().step())) {
    if (row.planted == 0) continue;
    table.text(shown_word(row.fault)).text(row.size).count(row.planted).count(row.telling);
    // Of so few planted faults, whole percents are all that is known.
    for (const double share : {row.found, row.confirmed, row.named_right, row.before_10_mm})
      table.number(100 * share, 0);
    table.number(row.median_mm, 1);
  }
}

void add_filling(Html& html, const FillScore& fill) {
  PageTable table(html, "Hidden depths filled again: root mean square error, mm",
                  {{"Over"},
                   {"Seen", PageCell::number},
                   {"Ours", PageCell::number},
                   {"Nearest gauge", PageCell::number},
                   {"Normal ratio", PageCell::number},
                   {"Inverse distance", PageCell::number}});
  for (const WindowScore& score : fill.windows) {
    table.text(score.window).count(score.windows).number(score.fill.rmse_mm, 3);
    table.number(score.nearest.rmse_mm, 3).number(score.normal_ratio.rmse_mm, 3);
    table.number(score.inverse.rmse_mm, 3);
  }
}

}  // namespace

void add_rehearsal(Html& html, const PageView& view) {
  const ReportInput& in = view.in;
  html.element("h3", "Rehearsed on this record");
  html.element(
      "p", fmt::format("Faults of known size were planted in the accepted part of this record "
                       "({}), each scored with what was learned from the rest alone, and gaps were "
                       "hidden and filled again. Telling: enough rain fell to tell. Before 10 mm: "
                       "called before 10 mm were hidden.",
                       counted(in.rehearsal->parts.size(), "part")));
  add_promises(html, in);
  html.element(
      "p",
      "Calls are predicted for a record without faults; those achieved hold the real "
      "faults of this one too. Their bounds are the exact 95 % interval of a Poisson rate.",
      {{"class", "note"}});
  add_faults(html, in);
  html.element("p",
               "A missed shower is no fault but a decoy, a healthy gauge that one local shower "
               "passed by: the fewer of them found, the better.",
               {{"class", "note"}});
  add_filling(html, in.rehearsal->fill);
}

}  // namespace gaugeloom
