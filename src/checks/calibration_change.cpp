#include "checks/calibration_change_internal.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr double kLeastChange = 0.05;
constexpr double kBetterRamp = 1;    // nats by which a ramp must fit better than a step
constexpr double kOnsetNats = 1.92;  // half the 95 % point of a chi square of 1 degree
constexpr std::size_t kLeastWitnesses = 3;
constexpr double kLeastWitnessShare = 0.6;
constexpr double kMostPairRatio = 1.2;  // of a log ratio of two gauges
constexpr int kRounds = 5;
constexpr std::size_t kPathPoints = 59;  // and the call
constexpr double kFourInFive = 0.8416;   // normal quantile of 80 %
constexpr double kMostTold = 0.6931;     // log 2

// A change that may be told, and the neighbours that bear it out.
struct Told {
  RatioChange change;
  std::vector<std::size_t> witnesses;
};

class Search {
 public:
  Search(const CheckContext& context, const BlockSums& speaking, const CalibrationLaw& law,
         std::size_t gauge, const RatioSeries& series)
      : context_(context),
        speaking_(speaking),
        law_(law),
        gauge_(gauge),
        series_(series),
        steady_(steadied(series)),
        options_(law.options(steady_)) {}

  std::vector<CalibrationChange> run() {
    look(0, steady_.size());
    std::sort(found_.begin(), found_.end(),
              [](const auto& a, const auto& b) { return a.change.at < b.change.at; });
    return std::move(found_);
  }

 private:
  // What fits best, where it reaches its level.
  std::optional<RatioChange> telling(std::span<const RatioPoint> points,
                                     const ChangeOptions& options) const {
    const auto reaches = [&](const RatioChange& c) {
      return c.score >= law_.level(c.shape).provisional && std::abs(c.change) >= kLeastChange;
    };
    const RatioChange step = best_change(points, ChangeShape::step, options);
    const RatioChange ramp = best_change(points, ChangeShape::ramp, options);
    if (reaches(ramp) && (!reaches(step) || ramp.score > step.score + kBetterRamp)) return ramp;
    if (reaches(step)) return step;
    return std::nullopt;
  }

  void look(std::size_t first, std::size_t last) {
    const auto points = std::span(steady_).subspan(first, last - first);
    const auto change = telling(points, options_);
    if (!change) return;
    auto seen = witnesses(points, *change, options_);
    if (!seen.empty()) found_.push_back(described({*change, std::move(seen)}, first, last));
    look(first, first + change->at);
    if (change->shape == ChangeShape::step) look(first + change->at, last);
  }

  CalibrationChange described(Told told, std::size_t first, std::size_t last) const {
    const RatioChange& best = told.change;
    CalibrationChange found{best, first, last, best.at, best.at, 0, std::move(told.witnesses)};
    const auto points = std::span(steady_).subspan(first, last - first);
    for (const RatioChange& other : possible_changes(points, best.shape, options_)) {
      if (other.score < best.score - kOnsetNats) continue;
      found.earliest = std::min(found.earliest, other.at);
      found.latest = std::max(found.latest, other.at);
    }
    found.called = called(best, first, last);
    found.earliest += first;
    found.latest += first;
    found.change.at += first;
    return found;
  }

  // The last day of the shortest record that tells a change of that shape and sign.
  std::size_t called(const RatioChange& change, std::size_t first, std::size_t last) const {
    for (std::size_t end = first + change.at + 1; end < last; ++end) {
      const RatioSeries so_far = steadied(std::span(series_).first(end));
      const ChangeOptions options = law_.options(so_far);
      const auto points = std::span(so_far).subspan(first);
      const auto told = telling(points, options);
      if (told && told->shape == change.shape && told->change * change.change > 0 &&
          !witnesses(points, *told, options).empty())
        return end - 1;
    }
    return last - 1;
  }

  // The neighbours whose own readings show the change, by half to twice its size; none where they
  // are too few.
  std::vector<std::size_t> witnesses(std::span<const RatioPoint> points, const RatioChange& change,
                                     const ChangeOptions& options) const {
    std::vector<std::size_t> seen;
    std::size_t asked = 0;
    const auto& around = context_.around;
    for (const NearbyGauge& n : around.of[gauge_]) {
      if (asked == around.options.used) break;
      const auto theirs = against(n.gauge, points, change, options);
      if (!theirs) continue;
      ++asked;
      const double share = *theirs / change.change;
      if (share >= 0.5 && share <= 2) seen.push_back(n.gauge);
    }
    const auto least = std::max(static_cast<double>(kLeastWitnesses),
                                kLeastWitnessShare * static_cast<double>(asked));
    if (static_cast<double>(seen.size()) < least) seen.clear();
    return seen;
  }

  // The same change held against one neighbour's daily sums; nothing with too few days in common.
  std::optional<double> against(std::size_t neighbour, std::span<const RatioPoint> points,
                                const RatioChange& change, const ChangeOptions& options) const {
    RatioSeries pair;
    std::size_t at = 0;
    const double bucket_mm = context_.network.gauges[gauge_].bucket_mm;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const auto day = static_cast<std::size_t>(points[i].day);
      const BlockSum& theirs = speaking_.row(neighbour)[day];
      if (!is_whole(theirs)) continue;
      RatioPoint point = points[i];
      point.value = std::clamp(
          log_ratio(context_.days.row(gauge_)[day].observed_mm, theirs.observed_mm, bucket_mm),
          -kMostPairRatio, kMostPairRatio);
      if (i < change.at) ++at;
      pair.push_back(point);
    }
    const bool is_ramp = change.shape == ChangeShape::ramp;
    if (is_ramp) at = std::max<std::size_t>(at, 1);
    if (at < (is_ramp ? 1 : options.least_side) || pair.size() < at + options.least_side)
      return std::nullopt;
    return change_at(pair, change.shape, at, options.season_variance).change;
  }

  const CheckContext& context_;
  const BlockSums& speaking_;
  const CalibrationLaw& law_;
  std::size_t gauge_;
  const RatioSeries& series_;
  RatioSeries steady_;
  ChangeOptions options_;
  std::vector<CalibrationChange> found_;
};

double best_score(const std::vector<CalibrationChange>& changes) {
  double best = 0;
  for (const CalibrationChange& c : changes) best = std::max(best, c.change.score);
  return best;
}

class Rounds {
 public:
  explicit Rounds(const CheckContext& context)
      : context_(context), right_(context.network.size(), false) {
    study_.law = calibration_law(context);
    study_.series = calibration_series(context, context.days, study_.law.ratios);
    study_.changes.resize(study_.series.size());
    look(context.days);
  }

  CalibrationStudy run() {
    for (int round = 0; round < kRounds && take_heaviest(); ++round) {
      const BlockSums speaking = put_right();
      study_.series = calibration_series(context_, speaking, study_.law.ratios);
      look(speaking);
    }
    return std::move(study_);
  }

 private:
  void look(const BlockSums& speaking) {
    parallel_for(study_.series.size(), context_.options.threads, [&](std::size_t gauge) {
      study_.changes[gauge] =
          Search(context_, speaking, study_.law, gauge, study_.series[gauge]).run();
    });
  }

  bool outweighs(std::size_t a, std::size_t b) const {
    const double score_a = best_score(study_.changes[a]);
    const double score_b = best_score(study_.changes[b]);
    if (score_a != score_b) return score_a > score_b;
    return context_.network.gauges[a].id < context_.network.gauges[b].id;
  }

  // False when there is no gauge with changes that is not put right already.
  bool take_heaviest() {
    std::vector<bool> echo(right_.size(), false);
    for (std::size_t gauge = 0; gauge < right_.size(); ++gauge) {
      for (const NearbyGauge& n : context_.around.of[gauge]) {
        if (right_[gauge] || right_[n.gauge]) continue;  // either is settled
        echo[outweighs(gauge, n.gauge) ? n.gauge : gauge] = true;
      }
    }
    bool taken = false;
    for (std::size_t gauge = 0; gauge < right_.size(); ++gauge) {
      if (right_[gauge] || echo[gauge] || study_.changes[gauge].empty()) continue;
      right_[gauge] = true;
      taken = true;
    }
    return taken;
  }

  BlockSums put_right() const {
    BlockSums speaking = context_.days;
    const std::size_t days = speaking.blocks();
    for (std::size_t gauge = 0; gauge < right_.size(); ++gauge) {
      if (!right_[gauge]) continue;
      const RatioSeries& series = study_.series[gauge];
      for (const CalibrationChange& c : study_.changes[gauge]) {
        for (std::size_t day = 0; day < days; ++day) {
          const double share = share_come(c.change.shape, series[c.change.at].day,
                                          series[c.last - 1].day, static_cast<double>(day));
          if (share <= 0) continue;
          float& depth = speaking.values[gauge * days + day].observed_mm;
          depth = static_cast<float>(depth * portable_exp(-share * c.change.change));
        }
      }
    }
    return speaking;
  }

  const CheckContext& context_;
  CalibrationStudy study_;
  std::vector<bool> right_;  // put right when they speak
};

}  // namespace

ScorePath score_path(const RatioSeries& series, const CalibrationLaw& law,
                     const CalibrationChange& change) {
  ScorePath path;
  const std::size_t begin = change.change.at;
  const std::size_t stride = (change.last - begin + kPathPoints - 1) / kPathPoints;
  for (std::size_t last = begin; last + 1 < change.last; ++last) {
    if (last != change.called && (change.last - 1 - last) % stride != 0) continue;
    const RatioSeries so_far = steadied(std::span(series).first(last + 1));
    const auto points = std::span(so_far).subspan(change.first);
    const RatioChange best = best_change(points, change.change.shape, law.options(so_far));
    path.push_back({last, best.change * change.change.change > 0 ? best.score : 0});
  }
  path.push_back({change.last - 1, change.change.score});
  return path;
}

CalibrationStudy study_calibration(const CheckContext& context) { return Rounds(context).run(); }

double smallest_step_percent(const RatioSeries& series, const CalibrationLaw& law) {
  double information = 0;
  const RatioSeries steady = steadied(series);
  for (const RatioChange& c : possible_changes(steady, ChangeShape::step, law.options(steady)))
    information = std::max(information, c.information);
  const double needed = std::sqrt(2 * law.step.provisional) + kFourInFive;
  const double change = std::max(kLeastChange, needed / std::sqrt(information));
  if (!(change <= kMostTold)) return std::numeric_limits<double>::quiet_NaN();
  return 100 * (1 - portable_exp(-change));
}

}  // namespace gaugeloom
