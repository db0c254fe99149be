#include "gaugeloom/checks/clock_offset.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <span>

#include "checks/dial_internal.hpp"
#include "checks/finding_text_internal.hpp"
#include "checks/lag_law_internal.hpp"
#include "checks/score_growth_internal.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/core/portable_math.hpp"
#include "gaugeloom/expect/gathered_depths.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kReference = 8;  // neighbours averaged
constexpr double kLeastDayMm = 2;
constexpr double kMostNatsADay = 4;  // a single day never decides
constexpr std::size_t kLeastDays = 5;
constexpr std::size_t kConfirmedDays = 8;
constexpr double kGainingShare = 0.7;
constexpr long kLeastLagMinutes = 30;
constexpr double kUsualMinutes = 20;   // what the way of storms may make of a sound clock
constexpr double kSlowStormMPerS = 6;  // and of one whose neighbours all lie on one side

// The lags of one gauge, day by day.
struct LagDay {
  std::size_t day = 0;  // index of 24 h from the beginning of the table
  double lag_minutes = 0;
  std::size_t clarity = 0;  // class of the correlation at that lag
};
struct GaugeLags {
  std::vector<LagDay> days;
  double usual_minutes = 0;  // the median, as far as storms explain it

  double stray_minutes(std::size_t d) const { return days[d].lag_minutes - usual_minutes; }
};

struct Candidate {
  double offset_minutes = 0;
  std::size_t first = 0;
  std::size_t last = 0;  // judged days [first, last)
  double score = 0;
};

class Search {
 public:
  explicit Search(const CheckContext& context)
      : context_(context),
        gathered_(context.steps.axis().step() < std::chrono::minutes(10)
                      ? gathered_depths(context.steps, std::chrono::minutes(15))
                      : RainTable()),
        law_(fine().axis().step_hours() * 60) {
    const long step = std::max<long>(1, fine().axis().step() / std::chrono::seconds(1));
    steps_per_day_ = static_cast<std::size_t>(86400 / step);
    for (long lag = -13 * 3600; lag <= 13 * 3600; ++lag) {
      if (lag % step != 0) continue;
      if (std::abs(lag) <= 3 * 3600 || lag % 3600 == 0) lags_.push_back(lag / step);
    }
  }

  CheckOutcome run() {
    CheckOutcome out;
    if (steps_per_day_ < 12) return out;  // a day of fewer steps shows no lag
    gauges_.resize(context_.network.size());
    parallel_for(gauges_.size(), context_.options.threads,
                 [&](std::size_t gauge) { gauges_[gauge] = lags_of(gauge); });
    const LearnedThreshold* frozen =
        context_.frozen_threshold(FindingKind::clock_offset, law_.counts().size());
    const bool known = frozen != nullptr;
    if (known) law_.counts() = frozen->scales;
    if (!known) learn_law();
    std::vector<Candidate> candidates(gauges_.size());
    parallel_for(gauges_.size(), context_.options.threads, [&](std::size_t gauge) {
      candidates[gauge] = best(gauges_[gauge], without(gauge, known));
    });
    if (frozen != nullptr) out.threshold = *frozen;
    if (frozen == nullptr) learn(candidates, out);
    for (std::size_t gauge = 0; gauge < candidates.size(); ++gauge) {
      const Candidate& c = candidates[gauge];
      if (c.score < out.threshold->provisional || !is_telling(gauges_[gauge], c)) continue;
      const LagLaw law = without(gauge, known);
      out.findings.push_back(made(gauge, c, *out.threshold, law));
      if (context_.keep_growth)
        out.growth.push_back(growth_of(out.findings.back(), c, *out.threshold, law));
    }
    return out;
  }

 private:
  const RainTable& fine() const { return gathered_.step_count() > 0 ? gathered_ : context_.steps; }

  // Weights of the nearest neighbours whose centre lies at the gauge, as far as weights of 0 and
  // more can do that: a storm that passes is then as often early at them as late.
  std::vector<double> balanced_weights(std::size_t gauge) const {
    const auto& around = context_.around.of[gauge];
    const std::size_t count = std::min(kReference, around.size());
    const MetricPoint here = context_.network.gauges[gauge].position;
    std::vector<MetricPoint> off;
    MetricPoint mean;
    for (std::size_t i = 0; i < count; ++i) {
      const MetricPoint there = context_.network.gauges[around[i].gauge].position;
      off.push_back({there.x_m - here.x_m, there.y_m - here.y_m});
      mean.x_m += off[i].x_m / static_cast<double>(count);
      mean.y_m += off[i].y_m / static_cast<double>(count);
    }
    double xx = 1;
    double yy = 1;
    double xy = 0;
    for (MetricPoint& p : off) {
      p = {p.x_m - mean.x_m, p.y_m - mean.y_m};
      xx += p.x_m * p.x_m;
      yy += p.y_m * p.y_m;
      xy += p.x_m * p.y_m;
    }
    const double determinant = xx * yy - xy * xy;
    const double ax = -(yy * mean.x_m - xy * mean.y_m) / determinant;
    const double ay = -(xx * mean.y_m - xy * mean.x_m) / determinant;
    std::vector<double> weights;
    for (const MetricPoint& p : off)
      weights.push_back(std::max(0.0, 1 / static_cast<double>(count) + ax * p.x_m + ay * p.y_m));
    return weights;
  }

  // How far from the gauge the weighted centre of its neighbours stays.
  double off_centre_m(std::size_t gauge, const std::vector<double>& weights) const {
    const auto& gauges = context_.network.gauges;
    MetricPoint centre;
    double total = 0;
    for (std::size_t i = 0; i < weights.size(); ++i) {
      const MetricPoint there = gauges[context_.around.of[gauge][i].gauge].position;
      centre.x_m += weights[i] * there.x_m;
      centre.y_m += weights[i] * there.y_m;
      total += weights[i];
    }
    if (!(total > 0)) return 0;
    return distance_m(gauges[gauge].position, {centre.x_m / total, centre.y_m / total});
  }

  std::vector<float> reference_of(std::size_t gauge, const std::vector<double>& weights) const {
    const auto& around = context_.around.of[gauge];
    std::vector<float> reference(fine().step_count(), 0.0F);
    for (std::size_t step = 0; step < reference.size(); ++step) {
      double sum = 0;
      double live = 0;
      std::size_t count = 0;
      for (std::size_t i = 0; i < weights.size(); ++i) {
        const double depth = fine().depth_mm(around[i].gauge, step);
        if (std::isnan(depth) || weights[i] <= 0) continue;
        if (depth > 0) sum += weights[i] * std::sqrt(depth);
        live += weights[i];
        ++count;
      }
      if (count >= kLeastNeighbours) reference[step] = static_cast<float>(sum / live);
    }
    return reference;
  }

  GaugeLags lags_of(std::size_t gauge) const {
    const std::vector<double> weights = balanced_weights(gauge);
    const std::vector<float> reference = reference_of(gauge, weights);
    const auto row = fine().row(gauge);
    GaugeLags lags;
    std::vector<float> own(steps_per_day_);
    for (std::size_t first = 0; first + steps_per_day_ <= row.size(); first += steps_per_day_) {
      double depth = 0;
      for (std::size_t i = 0; i < steps_per_day_; ++i) {
        const float d = row[first + i];
        own[i] = d > 0 ? std::sqrt(d) : 0.0F;
        if (d > 0) depth += d;
      }
      if (depth < kLeastDayMm) continue;
      long best_lag = 0;
      double best = kClarityEdges[0];
      for (const long lag : lags_) {
        const double rho = correlation(own, reference, first, lag);
        if (rho < best || (rho == best && std::abs(lag) >= std::abs(best_lag))) continue;
        best = rho;
        best_lag = lag;
      }
      if (best <= kClarityEdges[0]) continue;
      lags.days.push_back({first / steps_per_day_, minutes_of(best_lag), clarity_of(best)});
    }
    const double most =
        std::max(kUsualMinutes, off_centre_m(gauge, weights) / kSlowStormMPerS / 60);
    lags.usual_minutes = std::clamp(median_minutes(lags.days), -most, most);
    return lags;
  }

  double minutes_of(long lag) const {
    return static_cast<double>(lag) * fine().axis().step_hours() * 60;
  }

  static double median_minutes(std::span<const LagDay> days) {
    std::vector<double> sample;
    for (const LagDay& day : days) sample.push_back(day.lag_minutes);
    std::sort(sample.begin(), sample.end());
    return sample.empty() ? 0 : sample[sample.size() / 2];
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

  void learn_law() {
    for (const GaugeLags& lags : gauges_)
      for (std::size_t d = 0; d < lags.days.size(); ++d)
        law_.add(lags.days[d].clarity, lags.stray_minutes(d), 1);
  }

  // The network's law without the days of a gauge itself, so that a fault does not excuse itself.
  LagLaw without(std::size_t gauge, bool known) const {
    LagLaw law = law_;
    const GaugeLags& lags = gauges_[gauge];
    for (std::size_t d = 0; d < lags.days.size() && !known; ++d)
      law.add(lags.days[d].clarity, lags.stray_minutes(d), -1);
    return law;
  }

  static double nats(const LagLaw& law, const std::vector<double>& log_density,
                     const GaugeLags& lags, std::size_t d, double offset_minutes) {
    const double stray = lags.stray_minutes(d);
    const std::size_t clarity = lags.days[d].clarity;
    const double with = log_density[law.place(clarity, stray - offset_minutes)];
    return std::clamp(with - log_density[law.place(clarity, stray)], -kMostNatsADay, kMostNatsADay);
  }

  // The offset and run of days with the highest sum of log-likelihood ratios.
  Candidate best(const GaugeLags& lags, const LagLaw& law) const {
    const std::vector<double> log_density = law.log_densities();
    Candidate best;
    for (const long lag : lags_) {
      const double offset = minutes_of(lag);
      if (std::abs(offset) < kLeastLagMinutes) continue;
      double run = 0;
      std::size_t first = 0;
      for (std::size_t d = 0; d < lags.days.size(); ++d) {
        if (run <= 0) {
          run = 0;
          first = d;
        }
        run += nats(law, log_density, lags, d, offset);
        if (run > best.score) best = {offset, first, d + 1, run};
      }
    }
    return best;
  }

  void learn(const std::vector<Candidate>& candidates, CheckOutcome& out) const {
    std::vector<double> peaks;
    for (const Candidate& c : candidates) peaks.push_back(c.score);
    const PeakTail tail{.base = 2, .prior_scale = 1, .prior_peaks = 20, .least = 7, .most = 16};
    out.threshold = dialled_threshold(context_, FindingKind::clock_offset, std::move(peaks),
                                      context_.gauge_years, tail, 2);
    out.threshold->scales = law_.counts();
  }

  // The median lag of the days of the run, the usual one included.
  static long shift_minutes(const GaugeLags& lags, const Candidate& c) {
    return std::lround(median_minutes(std::span(lags.days).subspan(c.first, c.last - c.first)));
  }

  bool is_telling(const GaugeLags& lags, const Candidate& c) const {
    if (c.last - c.first < kLeastDays) return false;
    std::size_t nearer = 0;  // to the offset than to the usual lag
    for (std::size_t d = c.first; d < c.last; ++d) {
      const double stray = lags.stray_minutes(d);
      if (std::abs(stray - c.offset_minutes) < std::abs(stray)) ++nearer;
    }
    return static_cast<double>(nearer) >= kGainingShare * static_cast<double>(c.last - c.first);
  }

  // Sums of log-likelihood ratios over the judged days of the run.
  static ScorePath path_of(const GaugeLags& lags, const Candidate& c, const LagLaw& law) {
    const std::vector<double> log_density = law.log_densities();
    ScorePath path;
    double sum = 0;
    for (std::size_t d = c.first; d < c.last; ++d) {
      sum += nats(law, log_density, lags, d, c.offset_minutes);
      path.push_back({d, sum});
    }
    return path;
  }

  // The judged day on which someone watching live would have been told.
  static std::size_t called_day(const ScorePath& path, double level) {
    for (std::size_t i = kLeastDays - 1; i < path.size(); ++i)
      if (path[i].score >= level) return path[i].at;
    return path.back().at;
  }

  Instant day_begin(const LagDay& day) const {
    return fine().axis().begin(day.day * steps_per_day_);
  }

  ScoreGrowth growth_of(const Finding& finding, const Candidate& c, const LearnedThreshold& level,
                        const LagLaw& law) const {
    const GaugeLags& lags = gauges_[finding.gauge];
    std::vector<ScorePoint> points;
    for (const ScoreAt& p : path_of(lags, c, law))
      points.push_back({day_begin(lags.days[p.at]) + std::chrono::hours(24), p.score});
    return gaugeloom::growth_of(std::move(points), level, finding.called);
  }

  Finding made(std::size_t gauge, const Candidate& c, const LearnedThreshold& level,
               const LagLaw& law) const {
    const GaugeLags& lags = gauges_[gauge];
    const StepAxis& axis = fine().axis();
    const auto day_begin = [&](std::size_t d) { return this->day_begin(lags.days[d]); };
    const std::chrono::hours day(24);
    Finding finding;
    finding.gauge = gauge;
    finding.kind = FindingKind::clock_offset;
    const bool sure = c.score >= level.confirmed && c.last - c.first >= kConfirmedDays;
    finding.tier = sure ? Tier::confirmed : Tier::provisional;
    finding.from = std::max(day_begin(c.first), context_.steps.axis().begin(0));
    if (c.last < lags.days.size()) finding.to = day_begin(c.last - 1) + day;
    finding.called = day_begin(called_day(path_of(lags, c, law), level.provisional)) + day;
    finding.score = c.score;
    const auto range =
        context_.hours.axis().within({finding.from, finding.to.value_or(axis.span().to)});
    const DepthPair depths = depths_over(context_, gauge, range.first, range.last);
    finding.observed_mm = depths.observed_mm;
    finding.expected_mm = depths.expected_mm;
    finding.neighbours = speaking_neighbours(context_, gauge, range.first, range.last);
    const long minutes = shift_minutes(lags, c);
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
  LagLaw law_;
  std::size_t steps_per_day_ = 0;
  std::vector<long> lags_;  // in steps, rising
  std::vector<GaugeLags> gauges_;
};

}  // namespace

CheckOutcome find_clock_offset(const CheckContext& context) { return Search(context).run(); }

}  // namespace gaugeloom
