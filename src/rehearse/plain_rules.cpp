#include "gaugeloom/rehearse/plain_rules.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>

#include "gaugeloom/core/cusum.hpp"

namespace gaugeloom {
namespace {

constexpr float kRainMm = 1;
constexpr float kTellingMm = 2;
constexpr double kMostPerDay = 3;

bool is_judged(const BlockSum& day) { return day.usable_share >= kLeastBlockShare; }

}  // namespace

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
  const auto row = days.row(gauge);
  std::vector<std::size_t> judged;
  std::vector<double> residuals;
  for (std::size_t day = 0; day < row.size(); ++day) {
    const BlockSum& one = row[day];
    if (!is_judged(one) || !(std::max(one.observed_mm, one.expected_mm) >= kRainMm)) continue;
    judged.push_back(day);
    residuals.push_back(std::sqrt(static_cast<double>(one.observed_mm)) -
                        std::sqrt(static_cast<double>(one.expected_mm)));
  }
  const ModifiedZ score(residuals);
  std::vector<RuleEpisode> episodes;
  for (std::size_t i = 0; i < judged.size(); ++i) {
    RuleEpisode one{std::abs(score(residuals[i])), std::nullopt, days.axis.interval(judged[i])};
    if (one.peak > threshold) one.called = one.over.to;
    if (one.peak > 0) episodes.push_back(one);
  }
  return episodes;
}

DayRatios day_ratios(const BlockSums& days, std::size_t gauge, double bucket_mm) {
  DayRatios ratios;
  const auto row = days.row(gauge);
  for (std::size_t day = 0; day < row.size(); ++day) {
    const BlockSum& one = row[day];
    if (!is_judged(one) || !(one.expected_mm >= kTellingMm)) continue;
    ratios.days.push_back(day);
    ratios.log_ratios.push_back(std::log((static_cast<double>(one.observed_mm) + bucket_mm) /
                                         (static_cast<double>(one.expected_mm) + bucket_mm)));
  }
  return ratios;
}

std::vector<RuleEpisode> cusum_episodes(const DayRatios& ratios, const StepAxis& days,
                                        const ModifiedZ& usual, double threshold) {
  std::vector<RuleEpisode> episodes;
  Cusum sums;
  for (std::size_t i = 0; i < ratios.days.size(); ++i) {
    const bool begins = sums.level() == 0;
    sums.add(std::clamp(usual(ratios.log_ratios[i]), -kMostPerDay, kMostPerDay));
    if (sums.level() == 0) continue;
    const Interval day = days.interval(ratios.days[i]);
    if (begins) episodes.push_back({0, std::nullopt, day});
    RuleEpisode& now = episodes.back();
    now.over.to = day.to;
    now.peak = std::max(now.peak, sums.level());
    if (!now.called && sums.level() > threshold) now.called = day.to;
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
