#include <algorithm>

#include "report/page_parts_internal.hpp"
#include "report/page_table_internal.hpp"
#include "report/page_words_internal.hpp"

namespace gaugeloom {

std::string area_label(const Area& area) {
  return area.name.empty() || area.name == area.id ? area.id : area.name + " (" + area.id + ")";
}

void add_areas_part(Html& html, const PageView& view) {
  constexpr double kSquareMetres = 1e6;  // of a square kilometre
  const std::size_t areas = view.in.areas.size();
  html.element("p",
               "Mean rain over each area, all storms together; per step it stands in areas.csv. "
               "The share that the gauges can speak for is the least of any storm.");
  PageTable table(html, "Areas",
                  {{"Area"},
                   {"Size, km\u00B2", PageCell::number},
                   {"All storms, mm", PageCell::number},
                   {"Wettest storm, mm", PageCell::number},
                   {"Supported, %", PageCell::number}});
  for (std::size_t a = 0; a < areas; ++a) {
    double sum_mm = 0, most_mm = 0, supported = 1;
    for (std::size_t i = a; i < view.in.storm_areas.size(); i += areas) {
      const StormArea& row = view.in.storm_areas[i];
      sum_mm += row.mean_mm;
      most_mm = std::max(most_mm, row.mean_mm);
      supported = std::min(supported, row.supported_share);
    }
    table.text(area_label(view.in.areas[a]));
    table.number(area_m2(view.in.areas[a].polygon) / kSquareMetres, 1);
    table.number(sum_mm, 1).number(most_mm, 1).percent(supported);
  }
}

}  // namespace gaugeloom
