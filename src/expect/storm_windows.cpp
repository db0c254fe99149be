#include "gaugeloom/expect/storm_windows.hpp"

#include "gaugeloom/expect/gathered_depths.hpp"

namespace gaugeloom {

std::vector<StepAxis::Range> storm_windows(const RainTable& table,
                                           const StormSpellOptions& options) {
  const RainTable hours = gathered_depths(table, std::chrono::hours(1));
  std::vector<StepAxis::Range> windows;
  for (const StormSpell& storm : storm_spells(hours, options))
    windows.push_back(table.axis().touching(storm.over));
  return windows;
}

}  // namespace gaugeloom
