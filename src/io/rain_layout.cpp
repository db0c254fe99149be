#include "io/rain_layout_internal.hpp"

#include <unordered_set>

#include "io/csv_header_internal.hpp"
#include "io/text_check_internal.hpp"

namespace gaugeloom {
namespace {

void map_gauges(RainLayout& layout, const CsvHeader& header, const GaugeIds& ids) {
  const auto& names = header.names();
  layout.wide = true;
  std::unordered_set<std::string_view> seen;
  for (std::size_t i = 0; i < names.size(); ++i) {
    layout.gauge_of_column.push_back(kNoGauge);
    if (static_cast<int>(i) == layout.time) continue;
    if (names[i].text.empty())
      header.refuse("a column has no name; a wide file has time and one column per gauge",
                    names[i].column);
    if (!seen.insert(names[i].text).second)
      header.refuse("gauge " + quoted_for_message(names[i].text) + " has two columns; keep one",
                    names[i].column);
    layout.gauge_of_column.back() = ids.find(names[i].text);
    if (layout.gauge_of_column.back() == kNoGauge) layout.unknown.push_back(names[i].text);
  }
  if (names.size() < 2)
    header.refuse("there is no column beside time; add gauge and depth_mm, or a column per gauge");
}

}  // namespace

GaugeIds::GaugeIds(const Network& network) {
  ids_.reserve(network.size());
  for (const Gauge& gauge : network.gauges) ids_.push_back(gauge.id);
  rows_.reserve(ids_.size());
  for (std::uint32_t i = 0; i < ids_.size(); ++i) rows_.emplace(ids_[i], i);
}

std::uint32_t GaugeIds::find(std::string_view id) const {
  const auto found = rows_.find(id);
  return found == rows_.end() ? kNoGauge : found->second;
}

RainLayout read_rain_layout(std::string_view line, const std::string& file, const GaugeIds& ids,
                            const RainReadOptions& options) {
  const CsvHeader header(line, file, "a rain file");
  const std::string_view depth = options.unit == DepthUnit::inch ? "depth_in" : "depth_mm";
  const std::string_view other = options.unit == DepthUnit::inch ? "depth_mm" : "depth_in";
  RainLayout layout;
  layout.columns = header.count();
  layout.time = header.find("time");
  layout.gauge = header.find("gauge");
  layout.depth = header.find(depth);
  if (layout.time == kNoColumn) header.refuse_without("time", "add it, separated by commas");
  const bool has_other = header.find(other) != kNoColumn;
  if (layout.gauge == kNoColumn && layout.depth == kNoColumn && !has_other) {
    map_gauges(layout, header, ids);
    return layout;
  }
  if (layout.depth == kNoColumn && has_other)
    header.refuse_without(
        depth, std::string("give --unit ") + (options.unit == DepthUnit::inch ? "mm" : "in"));
  if (layout.depth == kNoColumn) header.refuse_without(depth, "add it");
  if (layout.gauge == kNoColumn) header.refuse_without("gauge", "add it");
  layout.quality = header.find("quality");
  layout.since = header.find("since");
  layout.origin = header.find("origin");
  return layout;
}

}  // namespace gaugeloom
