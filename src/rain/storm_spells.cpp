#include "gaugeloom/rain/storm_spells.hpp"

#include "gaugeloom/core/bulk_budget.hpp"
#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

std::vector<bool> wet_steps(const RainTable& table, double dry_share) {
  std::vector<std::size_t> measured(table.step_count());
  std::vector<std::size_t> dry(table.step_count());
  for (std::size_t gauge = 0; gauge < table.gauge_count(); ++gauge) {
    const auto row = table.row(gauge);
    for (std::size_t step = 0; step < row.size(); ++step) {
      if (!table.is_measured(gauge, step)) continue;
      ++measured[step];
      if (!(row[step] > 0)) ++dry[step];
    }
  }
  std::vector<bool> wet(table.step_count());
  for (std::size_t step = 0; step < wet.size(); ++step)
    wet[step] = static_cast<double>(dry[step]) < dry_share * static_cast<double>(measured[step]);
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

}  // namespace

std::optional<std::string> StormSpellOptions::problem() const {
  if (dry_gap.count() <= 0) return "the dry gap between storms must be longer than 0 s";
  if (!(dry_share > 0 && dry_share <= 1)) return "the dry share must be above 0 and at most 1";
  return std::nullopt;
}

std::vector<StormSpell> storm_spells(const RainTable& table, const StormSpellOptions& options) {
  if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
  const std::vector<bool> wet = wet_steps(table, options.dry_share);
  const BulkAcross across;  // storm by storm, all rows
  std::vector<StormSpell> storms;
  std::size_t first = 0;
  std::size_t last = 0;  // [first, last) is the storm under way; empty when none is
  const auto close = [&] {
    if (first == last) return;
    storms.push_back({{table.axis().begin(first), table.axis().end(last - 1)},
                      mean_depth_mm(table, first, last)});
    first = last;
  };
  for (std::size_t step = 0; step < wet.size(); ++step) {
    if (!wet[step]) continue;
    const bool far =
        first != last && table.axis().begin(step) - table.axis().end(last - 1) >= options.dry_gap;
    if (far) close();
    if (first == last) first = step;
    last = step + 1;
  }
  close();
  return storms;
}

std::optional<StormSpell> wettest_storm(const RainTable& table, const StormSpellOptions& options) {
  std::optional<StormSpell> wettest;
  for (const StormSpell& storm : storm_spells(table, options))
    if (!wettest || storm.mean_depth_mm > wettest->mean_depth_mm) wettest = storm;
  return wettest;
}

}  // namespace gaugeloom
