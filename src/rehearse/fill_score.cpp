#include "gaugeloom/rehearse/fill_score.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <map>
#include <span>

#include "gaugeloom/fill/band_law.hpp"
#include "gaugeloom/rehearse/plain_ways.hpp"
#include "rehearse/hidden_windows_internal.hpp"

namespace gaugeloom {
namespace {

constexpr double kWetMm = 1;

class Errors {
 public:
  void add(double error_mm) {
    squares_ += error_mm * error_mm;
    sizes_ += std::abs(error_mm);
    ++count_;
  }
  WayError means() const {
    const auto count = static_cast<double>(count_);
    return {std::sqrt(squares_ / count), sizes_ / count};
  }

 private:
  double squares_ = 0;
  double sizes_ = 0;
  std::size_t count_ = 0;
};

// What a window held, by everybody's account.
struct WindowDepths {
  double measured = 0;
  double estimate = 0;
  PlainDepths plain{0, 0, 0};
  DepthError band;

  bool is_known() const {
    return std::isfinite(measured + estimate + plain.nearest + plain.normal_ratio + plain.inverse);
  }
};

BandScore band_score(std::span<const WindowDepths> windows) {
  BandScore score;
  score.windows = windows.size();
  for (const WindowDepths& w : windows) {
    score.below += w.measured < w.band.low_mm ? 1 : 0;
    score.above += w.measured > w.band.high_mm ? 1 : 0;
  }
  score.below /= static_cast<double>(windows.size());
  score.above /= static_cast<double>(windows.size());
  score.coverage = 1 - score.below - score.above;
  return score;
}

// Filled over measured, and how sure that is: gauges share the weather of a day, days do not.
class Ratio {
 public:
  void add(Instant end, float filled_mm, float measured_mm) {
    Day& day = days_[std::chrono::floor<std::chrono::days>(end)];
    day.filled_mm += static_cast<double>(filled_mm);
    day.measured_mm += static_cast<double>(measured_mm);
  }
  double value() const {
    const Day all = sum();
    return all.filled_mm / all.measured_mm;
  }
  double standard_error() const {
    const Day all = sum();
    double squares = 0;
    for (const auto& [at, day] : days_) {
      const double rest = day.filled_mm - all.filled_mm / all.measured_mm * day.measured_mm;
      squares += rest * rest;
    }
    return std::sqrt(squares) / all.measured_mm;
  }
  double measured_mm() const { return sum().measured_mm; }

 private:
  struct Day {
    double filled_mm = 0;
    double measured_mm = 0;
  };
  Day sum() const {
    Day all;
    for (const auto& [at, day] : days_) {
      all.filled_mm += day.filled_mm;
      all.measured_mm += day.measured_mm;
    }
    return all;
  }

  std::map<Instant, Day> days_;
};

class Scorer {
 public:
  Scorer(const Network& network, const RainRecord& truth, const FillResult& filled)
      : truth_(truth.depths), filled_(filled), plain_(network, filled.record.observed) {}

  WindowScore score(std::string_view name, const std::vector<HiddenGap>& windows) const {
    std::vector<WindowDepths> known;
    double steps = 0;
    for (const HiddenGap& window : windows) {
      const WindowDepths depths = depths_of(window);
      if (!depths.is_known()) continue;
      known.push_back(depths);
      steps += static_cast<double>(window.last - window.first);
    }
    WindowScore score;
    score.window = name;
    score.hours = steps * truth_.axis().step_hours() / static_cast<double>(known.size());
    score.windows = known.size();
    score_errors(known, score);
    score_bands(known, score);
    return score;
  }

 private:
  WindowDepths depths_of(const HiddenGap& window) const {
    WindowDepths sum;
    for (std::size_t s = window.first; s < window.last; ++s) {
      sum.measured += static_cast<double>(truth_.depth_mm(window.gauge, s));
      sum.estimate += static_cast<double>(filled_.record.depth.depth_mm(window.gauge, s));
      const PlainDepths step = plain_.at(window.gauge, s);
      sum.plain.nearest += step.nearest;
      sum.plain.normal_ratio += step.normal_ratio;
      sum.plain.inverse += step.inverse;
    }
    const double hours =
        static_cast<double>(window.last - window.first) * truth_.axis().step_hours();
    if (sum.is_known()) sum.band = filled_.errors.at(hours, sum.estimate);
    return sum;
  }

  static void score_errors(const std::vector<WindowDepths>& windows, WindowScore& score) {
    Errors fill;
    Errors nearest;
    Errors ratio;
    Errors inverse;
    for (const WindowDepths& w : windows) {
      fill.add(w.estimate - w.measured);
      nearest.add(w.plain.nearest - w.measured);
      ratio.add(w.plain.normal_ratio - w.measured);
      inverse.add(w.plain.inverse - w.measured);
      score.crps_mm += band_law(w.estimate, w.band).crps_mm(w.measured);
    }
    score.fill = fill.means();
    score.nearest = nearest.means();
    score.normal_ratio = ratio.means();
    score.inverse = inverse.means();
    score.crps_mm /= static_cast<double>(windows.size());
  }

  static void score_bands(std::vector<WindowDepths>& windows, WindowScore& score) {
    std::erase_if(windows, [](const WindowDepths& w) {
      return w.estimate < kWetMm || std::isnan(w.band.low_mm);
    });
    std::stable_sort(
        windows.begin(), windows.end(),
        [](const WindowDepths& a, const WindowDepths& b) { return a.estimate > b.estimate; });
    score.wet = band_score(windows);
    score.heavy = band_score(std::span(windows).first((windows.size() + 9) / 10));
  }

  const RainTable& truth_;
  const FillResult& filled_;
  PlainWays plain_;
};

void score_steps(const RainRecord& truth, const FillResult& filled,
                 const std::vector<HiddenGap>& gaps, FillScore& score) {
  const SeriesRecord& record = filled.record;
  Ratio ratio;
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
      ratio.add(truth.depths.axis().end(s), depth, measured);
      wet_measured += measured > 0 ? 1 : 0;
      wet_filled += depth > 0 ? 1 : 0;
      wet_above += depth > 0 && measured > record.high_mm[i] ? 1 : 0;
      held += record.low_mm[i] <= measured && measured <= record.high_mm[i] ? 1 : 0;
    }
  score.refused = 1 - steps / static_cast<double>(score.hidden);
  score.measured_mm = ratio.measured_mm();
  score.bias = ratio.value() - 1;
  score.bias_error = ratio.standard_error();
  score.wet_ratio = wet_filled / wet_measured;
  score.step_above = wet_above / wet_filled;
  score.step_coverage = held / steps;
}

// Where something was filled, "-" otherwise.
std::string percent(double share) {
  return std::isfinite(share) ? fmt::format("{:.1f} %", 100 * share) : std::string("-");
}

std::string mm_text(double mm) {
  return std::isfinite(mm) ? fmt::format("{:.4f}", mm) : std::string("-");
}

std::string ratio_text(double a, double b) {
  return std::isfinite(a / b) ? fmt::format("{:.2f}", a / b) : std::string("-");
}

constexpr const char* kTable =
    "  {:6} {:>7} {:>8} {:>6} {:>5} {:>5} {:>8} {:>6} {:>5} {:>5} {:>6} {:>7} {:>6} {:>7}\n";

std::string pit_text(const StepPit& pit) {
  std::string text;
  for (const double share : pit.share) text += fmt::format("{:.1f} ", 100 * share);
  return text + fmt::format("%; largest {}, distance from flat {:.4f}\n", percent(pit.largest()),
                            pit.distance());
}

std::string window_text(const WindowScore& w) {
  return fmt::format(fmt::runtime(kTable), w.window, w.windows, mm_text(w.fill.rmse_mm),
                     ratio_text(w.fill.rmse_mm, w.nearest.rmse_mm),
                     ratio_text(w.fill.rmse_mm, w.normal_ratio.rmse_mm),
                     ratio_text(w.fill.rmse_mm, w.inverse.rmse_mm), mm_text(w.crps_mm),
                     ratio_text(w.crps_mm, w.nearest.mae_mm),
                     ratio_text(w.crps_mm, w.normal_ratio.mae_mm),
                     ratio_text(w.crps_mm, w.inverse.mae_mm), w.wet.windows,
                     percent(w.wet.coverage), w.heavy.windows, percent(w.heavy.coverage));
}

}  // namespace

FillScore score_fill(const Network& network, const RainRecord& truth, const FillResult& filled,
                     const std::vector<HiddenGap>& gaps) {
  FillScore score;
  score_steps(truth, filled, gaps, score);
  score.pit = step_pit(network, truth.depths, filled.record, gaps, false);
  score.wet_pit = step_pit(network, truth.depths, filled.record, gaps, true);
  const Scorer scorer(network, truth, filled);
  for (const HiddenWindows& kind : hidden_windows(gaps, filled.record.observed))
    score.windows.push_back(scorer.score(kind.name, kind.windows));
  return score;
}

std::string as_text(const FillScore& score) {
  if (!(score.refused < 1))
    return fmt::format("gaps filled: none of {} hidden steps\n", score.hidden);
  std::string text = fmt::format(
      "gaps filled: {} steps hidden, {} refused; {:.0f} mm in the others, bias {:+.1f} % "
      "(standard error {}), wet steps {:.3f} of those measured\n"
      "single steps: {} within the band; where the estimate is wet, {} above it\n"
      "where they fell in the law of their estimate, by tenths:\n  all: ",
      score.hidden, percent(score.refused), score.measured_mm, 100 * score.bias,
      percent(score.bias_error), score.wet_ratio, percent(score.step_coverage),
      percent(score.step_above));
  text += pit_text(score.pit) + "  where it is wet: " + pit_text(score.wet_pit);
  text += fmt::format(fmt::runtime(kTable), "window", "number", "RMSE mm", "near.", "ratio", "IDW",
                      "CRPS mm", "near.", "ratio", "IDW", "wet", "held", "heavy", "held");
  for (const WindowScore& window : score.windows) text += window_text(window);
  text +=
      "near., ratio, IDW: the error over that of the nearest gauge, the normal ratio and inverse "
      "distance; CRPS over\ntheir mean absolute error. wet: windows with 1 mm or more estimated; "
      "heavy: the tenth of them with the largest\nestimates; held: within the 90 % band.\n";
  return text;
}

}  // namespace gaugeloom
