#include "gaugeloom/storms/storm.hpp"

#include "gaugeloom/core/bulk_budget.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

// Of the gauges that measured in these steps, the share that had rain.
double wet_share(const RainTable& table, StepAxis::Range steps) {
  std::size_t said = 0;
  std::size_t wet = 0;
  for (std::size_t gauge = 0; gauge < table.gauge_count(); ++gauge) {
    bool any = false;
    bool rain = false;
    for (std::size_t step = steps.first; step < steps.last && !rain; ++step) {
      any = any || table.is_measured(gauge, step);
      rain = table.depth_mm(gauge, step) > 0;
    }
    said += any ? 1 : 0;
    wet += rain ? 1 : 0;
  }
  return said == 0 ? 0 : static_cast<double>(wet) / static_cast<double>(said);
}

}  // namespace

std::optional<std::string> StormOptions::problem() const {
  if (dry_gap.count() <= 0) return "the dry gap between storms must be longer than 0 s";
  if (!(least_mean_mm >= 0)) return "the least mean depth of a storm must be 0 mm or more";
  if (!(least_wet_share >= 0 && least_wet_share <= 1))
    return "the least share of wet gauges must be 0 to 1";
  return std::nullopt;
}

StormList find_storms(const SeriesRecord& record, const StormOptions& options) {
  if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
  const RainTable measured = measured_depths(record);
  StormSpellOptions spells;
  spells.dry_gap = options.dry_gap;
  StormList list;
  const BulkAcross across;  // storm by storm, all rows
  for (const StormSpell& spell : storm_spells(measured, spells)) {
    if (spell.mean_depth_mm < options.least_mean_mm ||
        wet_share(measured, spell.steps) < options.least_wet_share) {
      ++list.small;
      list.small_mm += spell.mean_depth_mm;
      continue;
    }
    list.storms.push_back(
        {format_compact(spell.over.from), spell.over, spell.steps, spell.running});
  }
  return list;
}

}  // namespace gaugeloom
