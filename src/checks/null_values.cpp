#include "gaugeloom/checks/null_values.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <unordered_map>

#include <fmt/format.h>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

constexpr double kMostScore = 1e6;  // of a threshold that is read back

[[noreturn]] void refuse(const std::string& sentence) {
  throw Error(ErrorCode::inconsistent_input, sentence);
}

using Rows = std::vector<std::optional<std::size_t>>;

Rows rows_of(const NullValues& values, const Network& network) {
  std::unordered_map<std::string, std::size_t> known;
  for (std::size_t row = 0; row < values.gauges.size(); ++row)
    if (!known.emplace(values.gauges[row], row).second)
      refuse(fmt::format("gauge {} stands twice in what was learned", values.gauges[row]));
  Rows rows;
  for (const Gauge& gauge : network.gauges) {
    const auto found = known.find(gauge.id);
    rows.push_back(found == known.end() ? std::nullopt : std::optional(found->second));
  }
  return rows;
}

LawValues law_of(const NullValues& values, const std::string& name, const Rows& rows) {
  const auto found = values.laws.find(name);
  if (found == values.laws.end()) refuse(fmt::format("there is no law '{}'", name));
  for (const auto& [list, of] : found->second.of_gauges)
    if (of.values.size() != values.gauges.size())
      refuse(fmt::format("'{}' of '{}' holds {} numbers for {} gauges", list, name,
                         of.values.size(), values.gauges.size()));
  return found->second.for_gauges(rows);
}

std::string windows_name(WindowKind kind) { return fmt::format("windows_{}", word(kind)); }

void refuse_bad(const LearnedThreshold& threshold) {
  const auto is_bad = [](double value) { return !(std::abs(value) <= kMostScore); };
  if (is_bad(threshold.provisional) || is_bad(threshold.confirmed) ||
      is_bad(threshold.tail_scale) || threshold.provisional <= 0 ||
      threshold.confirmed < threshold.provisional ||
      std::any_of(threshold.scales.begin(), threshold.scales.end(), is_bad))
    refuse(fmt::format("the threshold of {} holds a number that no check can use",
                       word(threshold.kind)));
}

}  // namespace

NullValues null_values(const LearnedNulls& nulls, const Network& network,
                       std::chrono::seconds step) {
  NullValues values;
  values.step = step;
  for (const Gauge& gauge : network.gauges) values.gauges.push_back(gauge.id);
  values.laws = {{"site_ratios", nulls.sites.values()},
                 {"misses", nulls.miss.values()},
                 {"daily_ratios", nulls.ratios.values()},
                 {"hours", nulls.hour_law.values()}};
  for (const WindowKind kind : kWindowKinds)
    values.laws[windows_name(kind)] = nulls.durations.at(kind).lists();
  values.thresholds = nulls.thresholds;
  return values;
}

MatchedNulls matched_nulls(const NullValues& values, const Network& network,
                           std::chrono::seconds step) {
  if (values.step != step)
    refuse(fmt::format("it was learned from steps of {} s, but this record has steps of {} s",
                       values.step.count(), step.count()));
  const Rows rows = rows_of(values, network);
  MatchedNulls matched;
  matched.unknown = static_cast<std::size_t>(std::count(rows.begin(), rows.end(), std::nullopt));
  if (matched.unknown == rows.size()) refuse("it was learned from none of the gauges in the list");
  matched.left_out = values.gauges.size() - (rows.size() - matched.unknown);
  LearnedNulls& nulls = matched.nulls;
  nulls.sites = SiteRatios::from(law_of(values, "site_ratios", rows));
  nulls.miss = MissLaw::from(law_of(values, "misses", rows));
  nulls.ratios = RatioNull::from(law_of(values, "daily_ratios", rows));
  nulls.hour_law = HourLaw::from(law_of(values, "hours", rows));
  for (const WindowKind kind : kWindowKinds)
    nulls.durations.of[static_cast<std::size_t>(kind)] =
        DurationLaw::from(law_of(values, windows_name(kind), rows));
  for (const LearnedThreshold& threshold : values.thresholds) {
    refuse_bad(threshold);
    if (nulls.threshold(threshold.kind) != nullptr)
      refuse(fmt::format("{} has two thresholds", word(threshold.kind)));
    nulls.thresholds.push_back(threshold);
  }
  return matched;
}

}  // namespace gaugeloom
