#include "gaugeloom/checks/clock_offset.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "checks/finding_text_internal.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/core/portable_math.hpp"
#include "gaugeloom/expect/gathered_depths.hpp"
#include "gaugeloom/expect/peak_threshold.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kReference = 5;  // neighbours averaged
constexpr double kLeastDayMm = 2;
constexpr double kDrift = 0.15;  // a day that gains less than this does not lengthen a run
constexpr std::size_t kLeastDays = 5;
constexpr std::size_t kConfirmedDays = 8;
constexpr double kGainingShare = 0.7;
constexpr long kLeastLagMinutes = 30;
constexpr double kLeastSpread = 0.25;

// Gains of one gauge: one row per judged day, one column per lag.
struct Gains {
  std::vector<std::size_t> day;  // index of 24 h from the beginning of the table
  std::vector<float> gain;       // day-major
};

struct Candidate {
  std::size_t lag = 0;  // column
  std::size_t first = 0;
  std::size_t last = 0;  // judged days [first, last)
  double score = 0;
};

double atanh_of(double rho) {
  const double r = std::clamp(rho, -0.95, 0.95);
  return 0.5 * portable_log((1 + r) / (1 - r));
}

class Search {
 public:
  explicit Search(const CheckContext& context) : context_(context) {
    using std::chrono::minutes;
    if (context.steps.axis().step() < minutes(10)) {
      gathered_ = gathered_depths(context.steps, minutes(15));
    }
    const long step = std::max<long>(1, fine().axis().step() / std::chrono::seconds(1));
    steps_per_day_ = static_cast<std::size_t>(86400 / step);
    for (long lag = -13 * 3600; lag <= 13 * 3600; ++lag) {
      if (lag % step != 0) continue;
      if (std::abs(lag) <= 3 * 3600 || lag % 3600 == 0) lags_.push_back(lag / step);
    }
    zero_ = static_cast<std::size_t>(std::find(lags_.begin(), lags_.end(), 0L) - lags_.begin());
  }

  CheckOutcome run() {
    CheckOutcome out;
    if (steps_per_day_ < 12) return out;  // a day of fewer steps shows no lag
    gains_.resize(context_.network.size());
    parallel_for(gains_.size(), context_.options.threads,
                 [&](std::size_t gauge) { gains_[gauge] = gains_of(gauge); });
    const LearnedThreshold* frozen = context_.frozen_threshold(FindingKind::clock_offset);
    if (frozen != nullptr && frozen->scales.size() == lags_.size()) {
      spreads_ = frozen->scales;
    } else {
      learn_spreads();
    }
    std::vector<Candidate> candidates;
    std::vector<double> peaks;
    for (const Gains& gains : gains_) {
      candidates.push_back(best(gains));
      peaks.push_back(candidates.back().score);
    }
    if (frozen != nullptr) out.threshold = *frozen;
    if (frozen == nullptr) learn(std::move(peaks), out);
    for (std::size_t gauge = 0; gauge < candidates.size(); ++gauge) {
      const Candidate& c = candidates[gauge];
      if (c.score >= out.threshold->provisional && is_telling(gains_[gauge], c)) {
        out.findings.push_back(made(gauge, c, *out.threshold));
      }
    }
    return out;
  }

 private:
  const RainTable& fine() const { return gathered_.step_count() > 0 ? gathered_ : context_.steps; }

  std::vector<float> reference_of(std::size_t gauge) const {
    std::vector<float> reference(fine().step_count(), 0.0F);
    for (std::size_t step = 0; step < reference.size(); ++step) {
      double sum = 0;
      std::size_t live = 0;
      for (const NearbyGauge& n : context_.around.of[gauge]) {
        if (live == kReference) break;
        const double depth = fine().depth_mm(n.gauge, step);
        if (std::isnan(depth)) continue;
        if (depth > 0) sum += std::sqrt(depth);
        ++live;
      }
      if (live >= kLeastNeighbours) reference[step] = static_cast<float>(sum / double(live));
    }
    return reference;
  }

  Gains gains_of(std::size_t gauge) const {
    const std::vector<float> reference = reference_of(gauge);
    const auto row = fine().row(gauge);
    Gains gains;
    std::vector<float> own(steps_per_day_);
    for (std::size_t first = 0; first + steps_per_day_ <= row.size(); first += steps_per_day_) {
      double depth = 0;
      for (std::size_t i = 0; i < steps_per_day_; ++i) {
        const float d = row[first + i];
        own[i] = d > 0 ? std::sqrt(d) : 0.0F;
        if (d > 0) depth += d;
      }
      if (depth < kLeastDayMm) continue;
      std::vector<double> rho;
      for (const long lag : lags_) rho.push_back(correlation(own, reference, first, lag));
      gains.day.push_back(first / steps_per_day_);
      for (const double r : rho) {
        gains.gain.push_back(static_cast<float>(atanh_of(r) - atanh_of(rho[zero_])));
      }
    }
    return gains;
  }

  // Of own[i] with reference[first + i - lag]; what lies outside the table is dry.
  static double correlation(const std::vector<float>& own, const std::vector<float>& reference,
                            std::size_t first, long lag) {
    double x = 0;
    double y = 0;
    double xx = 0;
    double yy = 0;
    double xy = 0;
    const auto count = static_cast<double>(own.size());
    const long begin = static_cast<long>(first) - lag;
    const long size = static_cast<long>(reference.size());
    for (std::size_t i = 0; i < own.size(); ++i) {
      const long at = begin + static_cast<long>(i);
      const double a = own[i];
      const double b = at >= 0 && at < size ? reference[static_cast<std::size_t>(at)] : 0.0F;
      x += a;
      y += b;
      xx += a * a;
      yy += b * b;
      xy += a * b;
    }
    const double vx = xx - x * x / count;
    const double vy = yy - y * y / count;
    if (vx <= 1e-9 || vy <= 1e-9) return 0;
    return (xy - x * y / count) / std::sqrt(vx * vy);
  }

  // Robust spread of the gains at each lag, over all gauges and days.
  void learn_spreads() {
    for (std::size_t lag = 0; lag < lags_.size(); ++lag) {
      std::vector<float> sample;
      for (const Gains& gains : gains_) {
        for (std::size_t d = 0; d < gains.day.size(); ++d) sample.push_back(at(gains, d, lag));
      }
      double spread = 1;
      if (sample.size() >= 20) {
        std::sort(sample.begin(), sample.end());
        const auto size = static_cast<double>(sample.size() - 1);
        const double high = sample[static_cast<std::size_t>(0.84 * size)];
        const double low = sample[static_cast<std::size_t>(0.16 * size)];
        spread = std::max(kLeastSpread, (high - low) / 2);
      }
      spreads_.push_back(spread);
    }
  }

  float at(const Gains& gains, std::size_t day, std::size_t lag) const {
    return gains.gain[day * lags_.size() + lag];
  }

  double score_of(double sum, std::size_t days, std::size_t lag) const {
    if (sum <= 0 || days == 0) return 0;
    return sum * sum / (2 * static_cast<double>(days) * spreads_[lag] * spreads_[lag]);
  }

  // The lag and run of days with the highest score (largest sum less drift along each lag).
  Candidate best(const Gains& gains) const {
    Candidate best;
    for (std::size_t lag = 0; lag < lags_.size(); ++lag) {
      double run = 0;
      double sum = 0;
      std::size_t first = 0;
      for (std::size_t d = 0; d < gains.day.size(); ++d) {
        if (run <= 0) {
          run = sum = 0;
          first = d;
        }
        run += at(gains, d, lag) - kDrift;
        sum += at(gains, d, lag);
        const double score = run > 0 ? score_of(sum, d + 1 - first, lag) : 0;
        if (score > best.score) best = {lag, first, d + 1, score};
      }
    }
    best.lag = steadiest_lag(gains, best);
    return best;
  }

  // Over the run that was found, the lag with the largest sum: the score divides by a spread that
  // differs from lag to lag, and so leans towards small ones.
  std::size_t steadiest_lag(const Gains& gains, const Candidate& c) const {
    std::size_t steadiest = c.lag;
    double largest = 0;
    for (std::size_t lag = 0; lag < lags_.size(); ++lag) {
      double sum = 0;
      for (std::size_t d = c.first; d < c.last; ++d) sum += at(gains, d, lag);
      if (sum > largest) {
        largest = sum;
        steadiest = lag;
      }
    }
    return steadiest;
  }

  void learn(std::vector<double> peaks, CheckOutcome& out) const {
    const PeakTail tail{.base = 2, .prior_scale = 1.5, .prior_peaks = 20, .least = 8, .most = 30};
    const double share = dial_share(FindingKind::clock_offset);
    const auto& options = context_.options;
    const auto provisional = peak_level(peaks, context_.gauge_years,
                                        share * options.provisional_calls_per_gauge_year, tail);
    const auto confirmed = peak_level(std::move(peaks), context_.gauge_years,
                                      share * options.confirmed_calls_per_gauge_year, tail);
    out.threshold = {FindingKind::clock_offset,
                     provisional.level,
                     std::max(confirmed.level, provisional.level + 2),
                     provisional.scale,
                     provisional.peaks,
                     spreads_};
  }

  long lag_minutes(const Candidate& c) const {
    return lags_[c.lag] * (fine().axis().step() / std::chrono::seconds(1)) / 60;
  }

  bool is_telling(const Gains& gains, const Candidate& c) const {
    if (c.last - c.first < kLeastDays || std::abs(lag_minutes(c)) < kLeastLagMinutes) return false;
    std::size_t gaining = 0;
    for (std::size_t d = c.first; d < c.last; ++d) {
      if (at(gains, d, c.lag) > 0) ++gaining;
    }
    return static_cast<double>(gaining) >= kGainingShare * static_cast<double>(c.last - c.first);
  }

  // The judged day on which someone watching live would have been told.
  std::size_t called_day(const Gains& gains, const Candidate& c, double level) const {
    double sum = 0;
    for (std::size_t d = c.first; d < c.last; ++d) {
      sum += at(gains, d, c.lag);
      const std::size_t days = d + 1 - c.first;
      if (days >= kLeastDays && score_of(sum, days, c.lag) >= level) return d;
    }
    return c.last - 1;
  }

  Finding made(std::size_t gauge, const Candidate& c, const LearnedThreshold& level) const {
    const Gains& gains = gains_[gauge];
    const StepAxis& axis = fine().axis();
    const auto day_begin = [&](std::size_t d) { return axis.begin(gains.day[d] * steps_per_day_); };
    const std::chrono::hours day(24);
    Finding finding;
    finding.gauge = gauge;
    finding.kind = FindingKind::clock_offset;
    const bool sure = c.score >= level.confirmed && c.last - c.first >= kConfirmedDays;
    finding.tier = sure ? Tier::confirmed : Tier::provisional;
    finding.from = std::max(day_begin(c.first), context_.steps.axis().begin(0));
    if (c.last < gains.day.size()) finding.to = day_begin(c.last - 1) + day;
    finding.called = day_begin(called_day(gains, c, level.provisional)) + day;
    finding.score = c.score;
    const auto range =
        context_.hours.axis().within({finding.from, finding.to.value_or(axis.span().to)});
    const DepthPair depths = depths_over(context_, gauge, range.first, range.last);
    finding.observed_mm = depths.observed_mm;
    finding.expected_mm = depths.expected_mm;
    finding.neighbours = speaking_neighbours(context_, gauge, range.first, range.last);
    const long minutes = lag_minutes(c);
    finding.shift_minutes = static_cast<double>(minutes);
    finding.reason = fmt::format(
        "Its rain is stamped {} minutes {} than that of its neighbours on {} wet days on end, and "
        "fits them well when shifted back. Held against {}.",
        std::abs(minutes), minutes > 0 ? "later" : "earlier", c.last - c.first,
        neighbours_text(context_, gauge, finding.neighbours));
    finding.innocent_explanation =
        "Storms that always cross the network the same way reach an edge early or late.";
    return finding;
  }

  const CheckContext& context_;
  RainTable gathered_;
  std::size_t steps_per_day_ = 0;
  std::vector<long> lags_;  // in steps, rising
  std::size_t zero_ = 0;
  std::vector<Gains> gains_;
  std::vector<double> spreads_;
};

}  // namespace

CheckOutcome find_clock_offset(const CheckContext& context) { return Search(context).run(); }

}  // namespace gaugeloom
