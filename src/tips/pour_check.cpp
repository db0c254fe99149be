#include "gaugeloom/tips/pour_check.hpp"

#include <algorithm>

#include "gaugeloom/tips/bucket_in_time.hpp"

namespace gaugeloom {
namespace {

constexpr double kBand = 0.6837722339831621;  // 1 - sqrt(0.1): 90 % of the triangular law on +-1

}  // namespace

PourCheck pour_check(const CounterTips& counter, const Pour& pour, const GaugeFacts& facts,
                     double funnel_cm2) {
  PourCheck result;
  result.counter = counter.counter;
  result.pour = pour;
  result.poured_mm = pour.poured_ml / ml_per_mm(funnel_cm2);
  result.bucket_mm = BucketInTime(facts.rows).mm(pour.over.from);
  const std::vector<Instant>& times = counter.tips.times;
  Instant first{};
  Instant last{};
  for (auto at = std::ranges::lower_bound(times, pour.over.from);
       at != times.end() && *at < pour.over.to; ++at) {
    if (counter.tips.fates[static_cast<std::size_t>(at - times.begin())] != TipFate::test) continue;
    if (result.tips++ == 0) first = *at;
    last = *at;
  }
  if (result.tips == 0) return result;
  const auto tips = static_cast<double>(result.tips);
  result.true_mm = result.poured_mm / tips;
  result.low_mm = result.poured_mm / (tips + kBand);
  if (result.tips > 1) result.high_mm = result.poured_mm / (tips - kBand);
  result.factor = result.true_mm / result.bucket_mm;
  if (last > first)
    result.intensity_mm_h =
        3600 * (tips - 1) * result.bucket_mm / (1e-6 * static_cast<double>((last - first).count()));
  return result;
}

std::vector<PourCheck> pour_checks(std::span<const CounterTips> counters, const GaugeFacts& facts,
                                   double funnel_cm2) {
  std::vector<PourCheck> checks;
  for (const Pour& pour : facts.pours)
    for (const CounterTips& counter : counters)
      checks.push_back(pour_check(counter, pour, facts, funnel_cm2));
  return checks;
}

}  // namespace gaugeloom
