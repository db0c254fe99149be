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
constexpr double kFourInFive = 0.8416;  // normal quantile of 80 %
constexpr double kMostTold = 0.6931;    // log 2

class Search {
 public:
  Search(const CheckContext& context, const BlockSums& speaking, const CalibrationLaw& law,
         std::size_t gauge, const RatioSeries& series)
      : context_(context), speaking_(speaking), law_(law), gauge_(gauge), series_(series) {}

  std::vector<CalibrationChange> run() {
    look(0, series_.size());
    std::sort(found_.begin(), found_.end(),
              [](const auto& a, const auto& b) { return a.change.at < b.change.at; });
    return std::move(found_);
  }

 private:
  std::span<const RatioPoint> part(std::size_t first, std::size_t last) const {
    return std::span(series_).subspan(first, last - first);
  }

  std::optional<RatioChange> telling(std::span<const RatioPoint> points, ChangeShape shape) const {
    const RatioChange change = best_change(points, shape, law_.options());
    if (change.score < law_.level(shape).provisional || std::abs(change.change) < kLeastChange)
      return std::nullopt;
    return change;
  }

  void look(std::size_t first, std::size_t last) {
    const auto points = part(first, last);
    const auto step = telling(points, ChangeShape::step);
    const auto ramp = telling(points, ChangeShape::ramp);
    if (!step && !ramp) return;
    const bool creeps = ramp && (!step || ramp->score > step->score + kBetterRamp);
    CalibrationChange found = described(creeps ? *ramp : *step, first, last);
    found.witnesses = witnesses(found);
    const std::size_t at = found.change.at;
    if (!found.witnesses.empty()) found_.push_back(std::move(found));
    look(first, at);
    if (!creeps) look(at, last);
  }

  CalibrationChange described(RatioChange change, std::size_t first, std::size_t last) const {
    CalibrationChange found{change, first, last, 0, 0, 0, {}};
    const auto points = part(first, last);
    found.called = first + called(points, change);
    found.earliest = found.latest = change.at;
    for (const RatioChange& other : possible_changes(points, change.shape, law_.options())) {
      if (other.score < change.score - kOnsetNats) continue;
      found.earliest = std::min(found.earliest, other.at);
      found.latest = std::max(found.latest, other.at);
    }
    found.earliest += first;
    found.latest += first;
    found.change.at += first;
    return found;
  }

  // The end of the shortest beginning of `points` that tells a change of that sign.
  std::size_t called(std::span<const RatioPoint> points, const RatioChange& change) const {
    for (std::size_t end = change.at + 1; end < points.size(); ++end) {
      const auto told = telling(weighed(points.first(end)), change.shape);
      if (told && told->change * change.change > 0) return end - 1;
    }
    return points.size() - 1;
  }

  // The neighbours whose own readings show the change: between half and twice its size.
  std::vector<std::size_t> witnesses(const CalibrationChange& found) const {
    std::vector<std::size_t> seen;
    std::size_t asked = 0;
    const auto& around = context_.around;
    for (const Neighbour& n : around.of[gauge_]) {
      if (asked == around.options.used) break;
      const auto change = against(n.gauge, found);
      if (!change) continue;
      ++asked;
      const double share = *change / found.change.change;
      if (share >= 0.5 && share <= 2) seen.push_back(n.gauge);
    }
    const auto least = std::max(static_cast<double>(kLeastWitnesses),
                                kLeastWitnessShare * static_cast<double>(asked));
    if (static_cast<double>(seen.size()) < least) seen.clear();
    return seen;
  }

  // The same change held against one neighbour's daily sums; nothing with too few days in common.
  std::optional<double> against(std::size_t neighbour, const CalibrationChange& found) const {
    RatioSeries pair;
    std::size_t at = 0;
    const double bucket_mm = context_.network.gauges[gauge_].bucket_mm;
    for (std::size_t i = found.first; i < found.last; ++i) {
      const auto day = static_cast<std::size_t>(series_[i].day);
      const BlockSum& theirs = speaking_.row(neighbour)[day];
      if (!is_whole(theirs)) continue;
      RatioPoint point = series_[i];
      point.value = std::clamp(
          log_ratio(context_.days.row(gauge_)[day].observed_mm, theirs.observed_mm, bucket_mm),
          -kMostPairRatio, kMostPairRatio);
      if (i < found.change.at) ++at;
      pair.push_back(point);
    }
    const std::size_t least = law_.options().least_side;
    if (found.change.shape == ChangeShape::ramp) at = std::max<std::size_t>(at, 1);
    const bool begins_late = found.change.shape == ChangeShape::ramp || at >= least;
    if (!begins_late || pair.size() < at + least) return std::nullopt;
    return change_at(pair, found.change.shape, at, law_.season_variance).change;
  }

  const CheckContext& context_;
  const BlockSums& speaking_;
  const CalibrationLaw& law_;
  std::size_t gauge_;
  const RatioSeries& series_;
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
      for (const Neighbour& n : context_.around.of[gauge]) {
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

CalibrationStudy study_calibration(const CheckContext& context) { return Rounds(context).run(); }

double smallest_step_percent(const RatioSeries& series, const CalibrationLaw& law) {
  double information = 0;
  for (const RatioChange& c : possible_changes(series, ChangeShape::step, law.options()))
    information = std::max(information, c.information);
  const double needed = std::sqrt(2 * law.step.provisional) + kFourInFive;
  const double change = std::max(kLeastChange, needed / std::sqrt(information));
  if (!(change <= kMostTold)) return std::numeric_limits<double>::quiet_NaN();
  return 100 * (1 - portable_exp(-change));
}

}  // namespace gaugeloom
