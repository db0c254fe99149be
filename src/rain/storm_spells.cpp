#include "gaugeloom/rain/storm_spells.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <span>

#include "gaugeloom/core/bulk_budget.hpp"
#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

// The steps that begin in the same hour of UTC; a step of an hour or more stands alone.
std::vector<StepAxis::Range> hours_of(const StepAxis& axis) {
  std::vector<StepAxis::Range> hours;
  Instant last;
  for (std::size_t step = 0; step < axis.count(); ++step) {
    const Instant hour = std::chrono::floor<std::chrono::hours>(axis.begin(step));
    if (hours.empty() || hour != last) hours.push_back({step, step});
    hours.back().last = step + 1;
    last = hour;
  }
  return hours;
}

std::vector<bool> wet_hours(const RainTable& table, std::span<const StepAxis::Range> hours,
                            double dry_share) {
  std::vector<std::size_t> measured(hours.size());
  std::vector<std::size_t> dry(hours.size());
  for (std::size_t gauge = 0; gauge < table.gauge_count(); ++gauge) {
    const auto row = table.row(gauge);
    for (std::size_t hour = 0; hour < hours.size(); ++hour) {
      bool said = false;
      bool wet = false;
      for (std::size_t step = hours[hour].first; step < hours[hour].last; ++step) {
        said = said || !std::isnan(row[step]);
        wet = wet || row[step] > 0;
      }
      if (said) ++measured[hour];
      if (said && !wet) ++dry[hour];
    }
  }
  std::vector<bool> wet(hours.size());
  for (std::size_t hour = 0; hour < wet.size(); ++hour)
    wet[hour] = static_cast<double>(dry[hour]) < dry_share * static_cast<double>(measured[hour]);
  return wet;
}

double mean_depth_mm(const RainTable& table, std::size_t first, std::size_t last) {
  double total = 0;
  std::size_t gauges = 0;
  for (std::size_t gauge = 0; gauge < table.gauge_count(); ++gauge) {
    bool measured = false;
    for (std::size_t step = first; step < last; ++step) {
      if (!table.is_measured(gauge, step)) continue;
      measured = true;
      total += static_cast<double>(table.depth_mm(gauge, step));
    }
    if (measured) ++gauges;
  }
  return gauges == 0 ? 0 : total / static_cast<double>(gauges);
}

// When a storm that ends at `end` is sure to have ended: after this nothing can join it. The dry
// gap is counted to the begin of an hour, which has to be over before it is known to be dry; one
// more where steps reach over the ends of hours.
Instant sure_end(Instant end, std::chrono::seconds step, std::chrono::seconds dry_gap) {
  constexpr std::chrono::seconds kHour{3600};
  const std::chrono::seconds unit = std::max(kHour, step);
  const auto units = (dry_gap + unit - std::chrono::seconds{1}) / unit;
  const bool aligned = step >= kHour || (kHour % step == std::chrono::seconds{0} &&
                                         end.time_since_epoch() % kHour == Duration{0});
  return end + unit * (units + (aligned ? 0 : 1));
}

}  // namespace

std::optional<std::string> StormSpellOptions::problem() const {
  if (dry_gap.count() <= 0) return "the dry gap between storms must be longer than 0 s";
  if (!(dry_share > 0 && dry_share <= 1)) return "the dry share must be above 0 and at most 1";
  return std::nullopt;
}

std::vector<StormSpell> storm_spells(const RainTable& table, const StormSpellOptions& options) {
  if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
  const std::vector<StepAxis::Range> hours = hours_of(table.axis());
  const std::vector<bool> wet = wet_hours(table, hours, options.dry_share);
  const BulkAcross across;  // storm by storm, all rows
  std::vector<StormSpell> storms;
  StepAxis::Range now{0, 0};  // the storm under way; empty when none is
  const auto close = [&] {
    if (now.first == now.last) return;
    storms.push_back({{table.axis().begin(now.first), table.axis().end(now.last - 1)},
                      mean_depth_mm(table, now.first, now.last),
                      now});
    now.first = now.last;
  };
  for (std::size_t hour = 0; hour < hours.size(); ++hour) {
    if (!wet[hour]) continue;
    const bool far =
        now.first != now.last &&
        table.axis().begin(hours[hour].first) - table.axis().end(now.last - 1) >= options.dry_gap;
    if (far) close();
    if (now.first == now.last) now.first = hours[hour].first;
    now.last = hours[hour].last;
  }
  close();
  for (StormSpell& storm : storms)
    storm.running =
        table.axis().span().to < sure_end(storm.over.to, table.axis().step(), options.dry_gap);
  return storms;
}

}  // namespace gaugeloom
