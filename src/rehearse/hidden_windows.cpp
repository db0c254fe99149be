#include "rehearse/hidden_windows_internal.hpp"

#include <algorithm>
#include <utility>

#include "gaugeloom/rain/storm_spells.hpp"
#include "rehearse/step_counts_internal.hpp"

namespace gaugeloom {
namespace {

// Consecutive windows of so many steps from the beginning of each gap.
std::vector<HiddenGap> pieces(const std::vector<HiddenGap>& gaps, std::size_t steps) {
  std::vector<HiddenGap> windows;
  for (const HiddenGap& gap : gaps)
    for (std::size_t first = gap.first; first + steps <= gap.last; first += steps)
      windows.push_back({gap.gauge, first, first + steps});
  return windows;
}

std::vector<HiddenGap> storm_parts(const std::vector<HiddenGap>& gaps, const RainTable& known,
                                   std::size_t least_steps) {
  const auto storms = storm_spells(known);
  std::vector<HiddenGap> windows;
  for (const HiddenGap& gap : gaps) {
    auto storm = std::lower_bound(
        storms.begin(), storms.end(), gap.first,
        [](const StormSpell& spell, std::size_t step) { return spell.steps.last <= step; });
    for (; storm != storms.end() && storm->steps.first < gap.last; ++storm) {
      const HiddenGap part{gap.gauge, std::max(gap.first, storm->steps.first),
                           std::min(gap.last, storm->steps.last)};
      if (part.last - part.first >= least_steps) windows.push_back(part);
    }
  }
  return windows;
}

}  // namespace

std::vector<HiddenWindows> hidden_windows(const std::vector<HiddenGap>& gaps,
                                          const RainTable& known) {
  std::vector<HiddenWindows> kinds{{"step", pieces(gaps, 1)}};
  std::size_t before = 1;
  for (const auto& [name, hours] : {std::pair{"1 h", 1.0}, {"6 h", 6.0}, {"24 h", 24.0}}) {
    const std::size_t steps = steps_in(known.axis(), hours);
    if (steps == before) continue;
    before = steps;
    kinds.push_back({name, pieces(gaps, steps)});
  }
  kinds.push_back({"storm", storm_parts(gaps, known, steps_in(known.axis(), 1))});
  return kinds;
}

}  // namespace gaugeloom
