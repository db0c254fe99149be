#include "report/page_parts_internal.hpp"

namespace gaugeloom {

void add_map_part(Html& html, const PageView&) {
  html.open("figure", {{"class", "needs-scripts map"}, {"data-map", "network"}}).close();
  html.open("p").text("The same as tables: ");
  html.element("a", "the gauges", {{"href", "#gauges"}}).text(" and ");
  html.element("a", "the storms", {{"href", "#storms"}}).text(".").close();
}

}  // namespace gaugeloom
