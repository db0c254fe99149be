#include "gaugeloom/rehearse/plain_rules.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>

namespace gaugeloom {

std::vector<RuleEpisode> dry_sum_episodes(const RainTable& hours, const ExpectedDepths& expected,
                                          std::size_t gauge, double threshold_mm) {
  const StepAxis& axis = hours.axis();
  std::vector<RuleEpisode> episodes;
  RuleEpisode now;
  now.over.from = axis.begin(0);
  const auto close = [&](Instant end, Instant next) {
    now.over.to = end;
    if (now.peak > 0) episodes.push_back(now);
    now = RuleEpisode{};
    now.over.from = next;
  };
  for (std::size_t hour = 0; hour < hours.step_count(); ++hour) {
    const float observed = hours.depth_mm(gauge, hour);
    if (observed > 0) {
      close(axis.begin(hour), axis.end(hour));
      continue;
    }
    const float depth = expected.depth_at(gauge, hour);
    if (std::isnan(observed) || std::isnan(depth)) continue;
    now.peak += static_cast<double>(depth);
    if (!now.called && now.peak > threshold_mm) now.called = axis.end(hour);
  }
  close(axis.span().to, axis.span().to);
  return episodes;
}

std::vector<RuleEpisode> residual_episodes(const BlockSums& days, std::size_t gauge,
                                           double threshold) {
  std::vector<RuleEpisode> episodes;
  const auto row = days.row(gauge);
  for (std::size_t day = 0; day < row.size(); ++day) {
    if (row[day].usable_share < kLeastBlockShare) continue;
    const double peak = std::abs(std::sqrt(static_cast<double>(row[day].observed_mm)) -
                                 std::sqrt(static_cast<double>(row[day].expected_mm)));
    RuleEpisode one{peak, std::nullopt, days.axis.interval(day)};
    if (peak > threshold) one.called = one.over.to;
    if (peak > 0) episodes.push_back(one);
  }
  return episodes;
}

double threshold_for(std::vector<double> peaks, std::size_t calls) {
  if (calls >= peaks.size()) return 0;
  const auto at = peaks.begin() + static_cast<std::ptrdiff_t>(calls);
  std::nth_element(peaks.begin(), at, peaks.end(), std::greater<>());
  return *at;
}

}  // namespace gaugeloom
