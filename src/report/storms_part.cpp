#include <algorithm>

#include <fmt/format.h>

#include "report/page_parts_internal.hpp"
#include "report/page_table_internal.hpp"
#include "report/page_words_internal.hpp"

namespace gaugeloom {
namespace {

double hours_of(const Interval& over) {
  return std::chrono::duration<double, std::ratio<3600>>(over.length()).count();
}

std::span<const StormGauge> rows_of(const PageView& view, std::size_t storm) {
  const std::size_t gauges = view.in.network.size();
  return view.in.storm_gauges.subspan(storm * gauges, gauges);
}

void add_table(Html& html, const PageView& view) {
  PageTable table(html, "All storms",
                  {{"Storm", PageCell::when},
                   {"To", PageCell::when},
                   {"Hours", PageCell::number},
                   {"Mean, mm", PageCell::number},
                   {"Most, mm", PageCell::number},
                   {"At gauge"},
                   {"Estimated, %", PageCell::number},
                   {"Missing, %", PageCell::number}});
  for (std::size_t row = 0; row < view.in.storms.size(); ++row) {
    const Storm& storm = view.in.storms[row];
    const StormOverview& overview = view.in.overviews[row];
    if (std::ranges::binary_search(view.storms, row))
      table.link(view.storm_anchors[row], shown_time(storm.over.from));
    else
      table.time(storm.over.from);
    table.time(storm.over.to);
    table.number(hours_of(storm.over), 1).number(overview.mean_mm, 1).number(overview.max_mm, 1);
    if (overview.max_gauge)
      table.link(view.gauge_anchors[*overview.max_gauge], view.gauge(*overview.max_gauge).label());
    else
      table.text(kUnknown);
    table.percent(overview.share_filled).percent(overview.share_missing);
  }
}

void add_gauge_totals(Html& html, const PageView& view, std::size_t storm) {
  PageTable table(html, "Rain of the storm at the gauges, with 5 % and 95 % bounds",
                  {{"Gauge"},
                   {"Total, mm", PageCell::number},
                   {"Low, mm", PageCell::number},
                   {"High, mm", PageCell::number},
                   {"Estimated, %", PageCell::number},
                   {"Quality"}});
  for (const StormGauge& row : rows_of(view, storm)) {
    table.link(view.gauge_anchors[row.gauge], view.gauge(row.gauge).label());
    table.number(row.total_mm, 1).number(row.low_mm, 1).number(row.high_mm, 1);
    table.percent(row.share_filled).quality(row.quality);
  }
}

void add_area_totals(Html& html, const PageView& view, std::size_t storm) {
  PageTable table(html, "Mean rain of the storm over the areas, with 5 % and 95 % bounds",
                  {{"Area"},
                   {"Mean, mm", PageCell::number},
                   {"Low, mm", PageCell::number},
                   {"High, mm", PageCell::number},
                   {"Supported, %", PageCell::number}});
  for (std::size_t a = 0; a < view.in.areas.size(); ++a) {
    const StormArea& row = view.in.storm_areas[storm * view.in.areas.size() + a];
    table.text(area_label(view.in.areas[a]));
    table.number(row.mean_mm, 1).number(row.low_mm, 1).number(row.high_mm, 1);
    table.percent(row.supported_share);
  }
}

// `place` is that in the list of storms told in detail.
void add_storm(Html& html, const PageView& view, std::size_t place) {
  const std::size_t row = view.storms[place];
  const Storm& storm = view.in.storms[row];
  const std::string which = std::to_string(place);
  html.open("details",
            {{"id", view.storm_anchors[row]}, {"class", "storm"}, {"data-storm", which}});
  html.open("summary").open("h3");
  add_time(html, storm.over.from);
  html.text(" to ");
  add_time(html, storm.over.to);
  html.close();
  html.text(fmt::format(" mean {} mm, most {} mm", shown_number(view.in.overviews[row].mean_mm, 1),
                        shown_number(view.in.overviews[row].max_mm, 1)));
  html.close();
  html.open("figure",
            {{"class", "needs-scripts map"}, {"data-map", "storm"}, {"data-storm", which}});
  html.close();
  if (!view.in.areas.empty()) add_area_totals(html, view, row);
  add_gauge_totals(html, view, row);
  html.close();
}

}  // namespace

void add_storms_part(Html& html, const PageView& view) {
  if (view.in.storms.empty()) {
    html.element("p", "It did not rain enough for a storm.");
    return;
  }
  add_table(html, view);
  if (view.storms.size() < view.in.storms.size())
    html.element("p",
                 fmt::format("The {} storms with the largest mean totals are told below; the "
                             "totals of all of them stand in storm_gauges.csv.",
                             view.storms.size()),
                 {{"class", "note"}});
  for (std::size_t place = 0; place < view.storms.size(); ++place) add_storm(html, view, place);
}

}  // namespace gaugeloom
