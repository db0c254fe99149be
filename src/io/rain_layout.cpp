#include "io/rain_layout_internal.hpp"

#include <algorithm>
#include <unordered_set>

#include "gaugeloom/core/error.hpp"
#include "io/csv_fields_internal.hpp"
#include "io/text_check_internal.hpp"

namespace gaugeloom {
namespace {

struct HeaderName {
  std::string text;
  int column = 1;  // in bytes
};

[[noreturn]] void malformed(const std::string& sentence, const std::string& file, int column = 0) {
  throw Error(ErrorCode::malformed_input, sentence, {file, 1, column});
}

std::vector<HeaderName> header_names(std::string_view header, const std::string& file) {
  if (const auto odd = first_not_text(header))
    malformed("this byte is not text; a rain file is CSV in UTF-8, plain or gzip", file,
              static_cast<int>(*odd) + 1);
  std::vector<HeaderName> names;
  CsvLine line(header);
  for (CsvField field; line.next(field);) {
    if (names.size() == kMostColumns)
      malformed("the header has more than 1048576 columns; use the long layout", file);
    names.push_back({std::string(field.text), field.column});
  }
  if (!line.problem().empty()) malformed(std::string(line.problem()), file, line.column());
  return names;
}

std::string listed(const std::vector<HeaderName>& names) {
  std::string text;
  for (const HeaderName& name : names) {
    if (text.size() > 100) break;
    text += (text.empty() ? "" : ",") + name.text;
  }
  return quoted_for_message(text);
}

// The one column called `wanted`, or kNoColumn.
int column_of(const std::vector<HeaderName>& names, std::string_view wanted,
              const std::string& file) {
  int found = kNoColumn;
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (names[i].text != wanted) continue;
    if (found != kNoColumn)
      malformed("column '" + std::string(wanted) + "' stands twice; rename one", file,
                names[i].column);
    found = static_cast<int>(i);
  }
  return found;
}

void map_gauges(RainLayout& layout, const std::vector<HeaderName>& names, const std::string& file,
                const GaugeIds& ids) {
  layout.wide = true;
  std::unordered_set<std::string_view> seen;
  for (std::size_t i = 0; i < names.size(); ++i) {
    layout.gauge_of_column.push_back(kNoGauge);
    if (static_cast<int>(i) == layout.time) continue;
    if (names[i].text.empty())
      malformed("a column has no name; a wide file has time and one column per gauge", file,
                names[i].column);
    if (!seen.insert(names[i].text).second)
      malformed("gauge " + quoted_for_message(names[i].text) + " has two columns; keep one", file,
                names[i].column);
    layout.gauge_of_column.back() = ids.find(names[i].text);
    if (layout.gauge_of_column.back() == kNoGauge) layout.unknown.push_back(names[i].text);
  }
  if (names.size() < 2)
    malformed("there is no column beside time; add gauge and depth_mm, or a column per gauge",
              file);
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

RainLayout read_rain_layout(std::string_view header, const std::string& file, const GaugeIds& ids,
                            const RainReadOptions& options) {
  const std::vector<HeaderName> names = header_names(header, file);
  const std::string_view depth = options.unit == DepthUnit::inch ? "depth_in" : "depth_mm";
  const std::string_view other = options.unit == DepthUnit::inch ? "depth_mm" : "depth_in";
  RainLayout layout;
  layout.columns = static_cast<int>(names.size());
  layout.time = column_of(names, "time", file);
  layout.gauge = column_of(names, "gauge", file);
  layout.depth = column_of(names, depth, file);
  const auto missing = [&](std::string_view name, const std::string& advice) {
    malformed(
        "there is no column '" + std::string(name) + "' (found " + listed(names) + "); " + advice,
        file);
  };
  if (layout.time == kNoColumn) missing("time", "add it, separated by commas");
  const bool has_other = column_of(names, other, file) != kNoColumn;
  if (layout.gauge == kNoColumn && layout.depth == kNoColumn && !has_other) {
    map_gauges(layout, names, file, ids);
    return layout;
  }
  if (layout.depth == kNoColumn && has_other)
    missing(depth, std::string("give --unit ") + (options.unit == DepthUnit::inch ? "mm" : "in"));
  if (layout.depth == kNoColumn) missing(depth, "add it");
  if (layout.gauge == kNoColumn) missing("gauge", "add it");
  layout.quality = column_of(names, "quality", file);
  layout.since = column_of(names, "since", file);
  return layout;
}

}  // namespace gaugeloom
