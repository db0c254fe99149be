#include "gaugeloom/rehearse/hidden_gaps.hpp"

#include <algorithm>

#include "gaugeloom/core/random.hpp"
#include "rehearse/step_counts_internal.hpp"

namespace gaugeloom {

std::vector<HiddenGap> random_gaps(const RainRecord& record, int per_gauge, std::string_view seed) {
  constexpr double kHours[] = {2, 6, 12, 24, 72};
  Random random(seed);
  std::vector<HiddenGap> gaps;
  for (std::size_t g = 0; g < record.depths.gauge_count(); ++g) {
    const std::size_t begin = gaps.size();
    for (int i = 0; i < per_gauge; ++i) {
      const std::size_t length = steps_in(record.depths.axis(), kHours[random.below(5)]);
      if (length >= record.depths.step_count()) continue;
      const std::size_t first = random.below(record.depths.step_count() - length);
      const bool free = std::all_of(
          gaps.begin() + static_cast<std::ptrdiff_t>(begin), gaps.end(),
          [&](const HiddenGap& gap) { return gap.last <= first || first + length <= gap.first; });
      if (free) gaps.push_back({g, first, first + length});
    }
  }
  return gaps;
}

std::vector<HiddenGap> storm_gaps(const RainRecord& record, int storms, std::string_view seed) {
  Random random(seed);
  const std::size_t hour = steps_in(record.depths.axis(), 1);
  const std::size_t apart = steps_in(record.depths.axis(), 24);
  const RainTable hours = sums(record.depths, hour);
  std::vector<std::pair<double, std::size_t>> wettest;
  for (std::size_t h = 0; h < hours.step_count(); ++h) {
    double sum = 0;
    for (std::size_t g = 0; g < hours.gauge_count(); ++g)
      if (hours.is_measured(g, h)) sum -= static_cast<double>(hours.depth_mm(g, h));
    wettest.push_back({sum, h * hour});
  }
  std::sort(wettest.begin(), wettest.end());
  std::vector<std::size_t> chosen;
  for (const auto& storm : wettest) {
    const std::size_t step = storm.second;
    const bool far = std::all_of(chosen.begin(), chosen.end(), [&](std::size_t other) {
      return other + 2 * apart < step || step + 2 * apart < other;
    });
    if (far) chosen.push_back(step);
    if (chosen.size() == static_cast<std::size_t>(storms)) break;
  }
  std::vector<HiddenGap> gaps;
  for (std::size_t k = 0; k < chosen.size(); ++k)
    for (std::size_t g = k % 5; g < hours.gauge_count(); g += 5) {
      const std::size_t before = random.below(apart / 2);
      const std::size_t first = chosen[k] > before ? chosen[k] - before : 0;
      const std::size_t last = chosen[k] + hour + random.below(apart / 2);
      gaps.push_back({g, first, std::min(last, record.depths.step_count())});
    }
  return gaps;
}

RainRecord with_hidden(const RainRecord& record, const std::vector<HiddenGap>& gaps) {
  RainRecord hidden = record;
  for (const HiddenGap& gap : gaps)
    for (std::size_t s = gap.first; s < gap.last; ++s) hidden.depths.set_missing(gap.gauge, s);
  return hidden;
}

QualityTable all_good(const RainTable& depths) {
  QualityTable quality(depths.gauge_count(), depths.step_count(), Quality::missing);
  for (std::size_t g = 0; g < depths.gauge_count(); ++g)
    for (std::size_t s = 0; s < depths.step_count(); ++s)
      if (depths.is_measured(g, s)) quality.at(g, s) = Quality::good;
  return quality;
}

}  // namespace gaugeloom
