#include "gaugeloom/rehearse/member_score.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "gaugeloom/fill/band_law.hpp"
#include "rehearse/hidden_windows_internal.hpp"

namespace gaugeloom {
namespace {

constexpr double kWetMm = 1;
constexpr double kOutside = 0.05;

struct Sums {
  double measured = 0;
  double estimate = 0;
  std::vector<double> members;  // rising
};

// Between order statistics: the k-th of n stands for the share k / (n + 1).
double quantile(const std::vector<double>& sorted, double share) {
  const double place = share * static_cast<double>(sorted.size() + 1) - 1;
  const double inside = std::clamp(place, 0.0, static_cast<double>(sorted.size() - 1));
  const auto below = static_cast<std::size_t>(inside);
  const std::size_t above = std::min(below + 1, sorted.size() - 1);
  return sorted[below] + (inside - static_cast<double>(below)) * (sorted[above] - sorted[below]);
}

double mean(const std::vector<double>& values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

double variance(const std::vector<double>& values) {
  const double middle = mean(values);
  double sum = 0;
  for (const double value : values) sum += (value - middle) * (value - middle);
  return sum / static_cast<double>(std::max<std::size_t>(1, values.size() - 1));
}

// Of endless members, as far as these few tell: pairs of a member with itself do not count.
double fair_crps(const Sums& sums) {
  const auto count = static_cast<double>(sums.members.size());
  double apart = 0;
  double among = 0;
  for (std::size_t i = 0; i < sums.members.size(); ++i) {
    apart += std::abs(sums.members[i] - sums.measured);
    among += sums.members[i] * (2 * static_cast<double>(i) + 1 - count);
  }
  return apart / count - among / (count * std::max(1.0, count - 1));
}

// Whether what was read, give or take `slack_mm`, lies within the middle 90 % of the members.
bool is_held(const Sums& sums, double slack_mm) {
  return quantile(sums.members, kOutside) <= sums.measured + slack_mm &&
         sums.measured - slack_mm <= quantile(sums.members, 1 - kOutside);
}

class Scorer {
 public:
  Scorer(const Network& network, const RainRecord& truth, const FillResult& filled,
         const Ensemble& ensemble)
      : truth_(truth.depths), filled_(filled), ensemble_(ensemble) {
    for (const Gauge& gauge : network.gauges) buckets_mm_.push_back(gauge.bucket_mm);
  }

  MemberScore score(const HiddenWindows& kind) const {
    MemberScore score;
    score.window = kind.name;
    double spread = 0;
    double wanted = 0;
    for (const HiddenGap& window : kind.windows) {
      const Sums sums = sums_of(window);
      if (!std::isfinite(sums.measured + sums.estimate)) continue;
      const DepthError band = band_of(window, sums.estimate);
      ++score.windows;
      score.members_crps_mm += fair_crps(sums);
      score.band_crps_mm += band_law(sums.estimate, band).crps_mm(sums.measured);
      score.estimate_mm += sums.estimate;
      score.mean_mm += mean(sums.members);
      if (sums.estimate < kWetMm) continue;
      ++score.wet;
      spread += variance(sums.members);
      wanted += band.standard_error_mm * band.standard_error_mm;
      score.band_holds += band.low_mm <= sums.measured && sums.measured <= band.high_mm ? 1 : 0;
      score.members_hold += is_held(sums, 0) ? 1 : 0;
      score.members_hold_reading += is_held(sums, buckets_mm_[window.gauge] / 2) ? 1 : 0;
    }
    score.spread_ratio = std::sqrt(spread / wanted);
    for (double* part : {&score.members_hold, &score.members_hold_reading, &score.band_holds})
      *part /= static_cast<double>(score.wet);
    for (double* part :
         {&score.members_crps_mm, &score.band_crps_mm, &score.estimate_mm, &score.mean_mm})
      *part /= static_cast<double>(score.windows);
    return score;
  }

 private:
  DepthError band_of(const HiddenGap& window, double estimate_mm) const {
    const std::size_t steps = window.last - window.first;
    const SeriesRecord& record = filled_.record;
    const std::size_t i = record.index(window.gauge, window.first);
    if (steps == 1)
      return {static_cast<double>(record.low_mm[i]), static_cast<double>(record.high_mm[i]),
              static_cast<double>(record.standard_error_mm[i])};
    return filled_.errors.at(static_cast<double>(steps) * truth_.axis().step_hours(), estimate_mm);
  }

  Sums sums_of(const HiddenGap& window) const {
    Sums sums;
    const std::size_t count = ensemble_.members();
    std::vector<float> depths((window.last - window.first) * count);
    ensemble_.draw(window.gauge, {window.first, window.last}, depths);
    sums.members.assign(count, 0);
    for (std::size_t i = 0; i < depths.size(); ++i)
      sums.members[i % count] += static_cast<double>(depths[i]);
    std::sort(sums.members.begin(), sums.members.end());
    for (std::size_t s = window.first; s < window.last; ++s) {
      sums.measured += static_cast<double>(truth_.depth_mm(window.gauge, s));
      sums.estimate += static_cast<double>(filled_.record.depth.depth_mm(window.gauge, s));
    }
    return sums;
  }

  const RainTable& truth_;
  const FillResult& filled_;
  const Ensemble& ensemble_;
  std::vector<double> buckets_mm_;
};

}  // namespace

std::vector<MemberScore> score_members(const Network& network, const RainRecord& truth,
                                       const FillResult& filled, const Ensemble& ensemble,
                                       const std::vector<HiddenGap>& gaps) {
  const Scorer scorer(network, truth, filled, ensemble);
  std::vector<MemberScore> scores;
  for (const HiddenWindows& kind : hidden_windows(gaps, filled.record.observed))
    scores.push_back(scorer.score(kind));
  return scores;
}

std::string as_text(const std::vector<MemberScore>& scores) {
  std::string text = fmt::format(
      "  {:6} {:>7} {:>6} {:>8} {:>8} {:>8} {:>7} {:>9} {:>9} {:>8} {:>8}\n", "window", "number",
      "wet", "members", "reading", "band", "spread", "CRPS mm", "by band", "fill mm", "mean mm");
  for (const MemberScore& s : scores)
    text += fmt::format(
        "  {:6} {:>7} {:>6} {:>6.1f} % {:>6.1f} % {:>6.1f} % {:>7.2f} {:>9.4f} {:>9.4f} {:>8.4f} "
        "{:>8.4f}\n",
        s.window, s.windows, s.wet, 100 * s.members_hold, 100 * s.members_hold_reading,
        100 * s.band_holds, s.spread_ratio, s.members_crps_mm, s.band_crps_mm, s.estimate_mm,
        s.mean_mm);
  return text;
}

}  // namespace gaugeloom
