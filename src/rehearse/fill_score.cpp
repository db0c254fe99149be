#include "gaugeloom/rehearse/fill_score.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "rehearse/step_counts_internal.hpp"

namespace gaugeloom {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

// Plain estimates of one gauge at one step from what is measured there.
struct Plain {
  double nearest = kNan;
  double normal_ratio = kNan;
  double inverse = kNan;
};

class PlainWays {
 public:
  PlainWays(const Network& network, const RainTable& known) : known_(known) {
    const auto positions = network.positions();
    by_distance_.resize(network.size());
    for (std::size_t g = 0; g < network.size(); ++g) {
      for (std::size_t j = 0; j < network.size(); ++j)
        if (j != g) by_distance_[g].push_back({distance_m(positions[g], positions[j]), j});
      std::sort(by_distance_[g].begin(), by_distance_[g].end());
      double sum = 0;
      std::size_t count = 0;
      for (const float mm : known.row(g))
        if (!std::isnan(mm)) {
          sum += static_cast<double>(mm);
          ++count;
        }
      mean_.push_back(count > 0 ? sum / static_cast<double>(count) : kNan);
    }
  }

  Plain at(std::size_t gauge, std::size_t step) const {
    Plain plain;
    double inverse = 0;
    double weights = 0;
    double ratios = 0;
    int used = 0;
    for (const auto& [distance, j] : by_distance_[gauge]) {
      const auto mm = static_cast<double>(known_.depth_mm(j, step));
      if (std::isnan(mm)) continue;
      const double weight = 1 / std::max(1.0, distance * distance);
      if (used == 0) plain.nearest = mm;
      inverse += weight * mm;
      weights += weight;
      if (used < 4 && mean_[j] > 0) ratios += mm * mean_[gauge] / mean_[j] / 4;
      if (++used == 16) break;
    }
    if (used >= 4) plain.normal_ratio = ratios;
    if (used > 0) plain.inverse = inverse / weights;
    return plain;
  }

 private:
  const RainTable& known_;
  std::vector<std::vector<std::pair<double, std::size_t>>> by_distance_;
  std::vector<double> mean_;
};

struct Squares {
  double sum = 0;
  std::size_t count = 0;
  void add(double error) {
    sum += error * error;
    ++count;
  }
  double root() const { return count > 0 ? std::sqrt(sum / static_cast<double>(count)) : kNan; }
};

void score_duration(const RainRecord& truth, const FillResult& filled, const PlainWays& plain,
                    const std::vector<HiddenGap>& gaps, std::size_t window, DurationScore& score) {
  Squares fill;
  Squares nearest;
  Squares ratio;
  Squares inverse;
  for (const HiddenGap& gap : gaps)
    for (std::size_t first = gap.first; first + window <= gap.last; first += window) {
      double measured = 0;
      double estimate = 0;
      Plain ways{0, 0, 0};
      for (std::size_t s = first; s < first + window; ++s) {
        measured += static_cast<double>(truth.depths.depth_mm(gap.gauge, s));
        estimate += static_cast<double>(filled.record.depth.depth_mm(gap.gauge, s));
        const Plain step = plain.at(gap.gauge, s);
        ways.nearest += step.nearest;
        ways.normal_ratio += step.normal_ratio;
        ways.inverse += step.inverse;
      }
      if (!std::isfinite(measured + estimate + ways.nearest + ways.normal_ratio + ways.inverse))
        continue;
      fill.add(estimate - measured);
      nearest.add(ways.nearest - measured);
      ratio.add(ways.normal_ratio - measured);
      inverse.add(ways.inverse - measured);
      if (estimate < 1) continue;
      const DepthError band = filled.errors.at(score.hours, estimate);
      ++score.wet_windows;
      score.below += measured < band.low_mm ? 1 : 0;
      score.above += measured > band.high_mm ? 1 : 0;
    }
  score.windows = fill.count;
  score.fill_rmse = fill.root();
  score.nearest_rmse = nearest.root();
  score.normal_ratio_rmse = ratio.root();
  score.inverse_rmse = inverse.root();
  score.below /= static_cast<double>(score.wet_windows);
  score.above /= static_cast<double>(score.wet_windows);
  score.coverage = 1 - score.below - score.above;
}

void score_steps(const RainRecord& truth, const FillResult& filled,
                 const std::vector<HiddenGap>& gaps, FillScore& score) {
  const SeriesRecord& record = filled.record;
  double filled_mm = 0;
  double wet_measured = 0;
  double wet_filled = 0;
  double steps = 0;
  double wet_above = 0;
  double held = 0;
  for (const HiddenGap& gap : gaps)
    for (std::size_t s = gap.first; s < gap.last; ++s) {
      if (!truth.depths.is_measured(gap.gauge, s)) continue;
      ++score.hidden;
      if (!record.depth.is_measured(gap.gauge, s)) continue;
      const std::size_t i = record.index(gap.gauge, s);
      const float measured = truth.depths.depth_mm(gap.gauge, s);
      const float depth = record.depth.depth_mm(gap.gauge, s);
      ++steps;
      score.measured_mm += static_cast<double>(measured);
      filled_mm += static_cast<double>(depth);
      wet_measured += measured > 0 ? 1 : 0;
      wet_filled += depth > 0 ? 1 : 0;
      wet_above += depth > 0 && measured > record.high_mm[i] ? 1 : 0;
      held += record.low_mm[i] <= measured && measured <= record.high_mm[i] ? 1 : 0;
    }
  score.refused = 1 - steps / static_cast<double>(score.hidden);
  score.bias = filled_mm / score.measured_mm - 1;
  score.wet_ratio = wet_filled / wet_measured;
  score.step_above = wet_above / wet_filled;
  score.step_coverage = held / steps;
}

}  // namespace

FillScore score_fill(const Network& network, const RainRecord& truth, const FillResult& filled,
                     const std::vector<HiddenGap>& gaps) {
  FillScore score;
  score_steps(truth, filled, gaps, score);
  const PlainWays plain(network, filled.record.observed);
  std::size_t before = 0;
  for (const double hours : {truth.depths.axis().step_hours(), 1.0, 6.0, 24.0}) {
    const std::size_t window = steps_in(truth.depths.axis(), hours);
    if (window == before) continue;
    before = window;
    score.durations.push_back({});
    score.durations.back().hours = hours;
    score_duration(truth, filled, plain, gaps, window, score.durations.back());
  }
  return score;
}

std::string as_text(const FillScore& score) {
  std::string text = fmt::format(
      "  hidden {} steps, refused {:.1f} %, {:.0f} mm, bias {:+.1f} %, wet ratio {:.3f}\n"
      "  step bands: hold {:.1f} %, wet estimates with more above {:.1f} %\n",
      score.hidden, 100 * score.refused, score.measured_mm, 100 * score.bias, score.wet_ratio,
      100 * score.step_coverage, 100 * score.step_above);
  for (const DurationScore& d : score.durations)
    text += fmt::format(
        "  {:6.2f} h: {:6} windows, RMSE {:.4f} mm; to nearest {:.3f}, to normal ratio {:.3f}, to "
        "inverse distance {:.3f}; bands hold {:.1f} % of {} (below {:.1f}, above {:.1f})\n",
        d.hours, d.windows, d.fill_rmse, d.fill_rmse / d.nearest_rmse,
        d.fill_rmse / d.normal_ratio_rmse, d.fill_rmse / d.inverse_rmse, 100 * d.coverage,
        d.wet_windows, 100 * d.below, 100 * d.above);
  return text;
}

}  // namespace gaugeloom
