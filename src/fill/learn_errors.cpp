#include "fill/learn_errors_internal.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "gaugeloom/core/parallel.hpp"

namespace gaugeloom::fill_internal {
namespace {

constexpr double kWidest = 2.5;
constexpr double kFewestShare = 0.8;        // of the steps of a window
constexpr std::size_t kFewestWindows = 60;  // with a wet estimate
constexpr double kFoldHours = 120;          // halves of the record alternate every 5 days
constexpr double kDurationsH[] = {1, 6, 24, 168, 720};

std::size_t wet_class(double wet_share) {
  return wet_share < 1.0 / 3 ? 0 : wet_share < 2.0 / 3 ? 1 : 2;
}

std::size_t dry_class(double root_share) {
  if (root_share <= 0) return 0;
  return 1 + std::min<std::size_t>(3, static_cast<std::size_t>(4 * root_share));
}

struct WindowPairs {
  BulkVector<ErrorPair> halves[2];
};

// What one gauge teaches.
struct Lesson {
  std::array<BulkVector<ErrorPair>, 3> wet;
  std::array<std::vector<float>, 5> dry;
  std::array<std::size_t, 5> zeros{};
  double variance = 0;
  std::size_t steps = 0;
  std::vector<WindowPairs> windows;  // per duration
};

void learn_steps(const Ground& ground, const Learned& learned, std::size_t g,
                 const NeighbourEstimates& e, std::span<const float> course, Lesson& lesson) {
  const double threshold = course_rule(ground, learned, g).threshold;
  for (std::size_t s = 0; s < course.size(); ++s) {
    if (std::isnan(course[s])) continue;
    const float measured = ground.depths.depth_mm(g, s);
    lesson.variance += static_cast<double>(e.variance[s]);
    ++lesson.steps;
    if (course[s] > 0) {
      lesson.wet[wet_class(static_cast<double>(e.wet_share[s]))].push_back({course[s], measured});
      continue;
    }
    const std::size_t dry =
        dry_class(threshold > 0 ? static_cast<double>(e.root[s]) / threshold : 0);
    if (measured > 0)
      lesson.dry[dry].push_back(measured);
    else
      ++lesson.zeros[dry];
  }
}

void learn_windows(const Ground& ground, std::size_t g, std::span<const float> course,
                   std::size_t window, WindowPairs& pairs) {
  for (std::size_t first = 0; first + window <= course.size(); first += window) {
    ErrorPair pair;
    std::size_t tested = 0;
    for (std::size_t s = first; s < first + window; ++s) {
      if (std::isnan(course[s])) continue;
      pair.estimate_mm += course[s];
      pair.measured_mm += ground.depths.depth_mm(g, s);
      ++tested;
    }
    if (static_cast<double>(tested) < kFewestShare * static_cast<double>(window) || tested == 0)
      continue;
    const auto fold = static_cast<std::size_t>(ground.hours(first) / kFoldHours) % 2;
    pairs.halves[fold].push_back(pair);
  }
}

std::vector<std::size_t> window_lengths(const Ground& ground) {
  std::vector<std::size_t> lengths{1};
  for (const double hours : kDurationsH) {
    const auto steps = static_cast<std::size_t>(hours / ground.depths.axis().step_hours() + 0.5);
    if (steps > lengths.back()) lengths.push_back(steps);
  }
  return lengths;
}

Lesson lesson_of(const Ground& ground, const Learned& learned, const ScaledRain& rain,
                 std::span<const std::size_t> lengths, std::size_t g) {
  const NeighbourEstimates e = neighbour_estimates(ground.around[g], rain, learned.rule);
  std::vector<float> course(ground.steps(), std::numeric_limits<float>::quiet_NaN());
  lay_course(e, testable_steps(ground, g, e), course_rule(ground, learned, g), course);
  Lesson lesson;
  learn_steps(ground, learned, g, e, course, lesson);
  lesson.windows.resize(lengths.size());
  for (std::size_t d = 0; d < lengths.size(); ++d)
    learn_windows(ground, g, course, lengths[d], lesson.windows[d]);
  return lesson;
}

template <typename Values>
void append(Values& to, const Values& from) {
  to.insert(to.end(), from.begin(), from.end());
}

Lesson all_lessons(const Ground& ground, const Learned& learned,
                   std::span<const std::size_t> lengths) {
  const ScaledRain rain = scaled_rain(ground.depths, learned.ratios);
  std::vector<Lesson> lessons(ground.gauges());
  parallel_for(ground.gauges(), ground.options.threads,
               [&](std::size_t g) { lessons[g] = lesson_of(ground, learned, rain, lengths, g); });
  Lesson all;
  all.windows.resize(lengths.size());
  for (Lesson& lesson : lessons) {
    for (std::size_t i = 0; i < all.wet.size(); ++i) append(all.wet[i], lesson.wet[i]);
    for (std::size_t i = 0; i < all.dry.size(); ++i) {
      append(all.dry[i], lesson.dry[i]);
      all.zeros[i] += lesson.zeros[i];
    }
    for (std::size_t d = 0; d < lengths.size(); ++d)
      for (std::size_t half = 0; half < 2; ++half)
        append(all.windows[d].halves[half], lesson.windows[d].halves[half]);
    all.variance += lesson.variance;
    all.steps += lesson.steps;
    lesson = {};  // its pairs are as many as the steps
  }
  return all;
}

DurationError learn_duration(double hours, BulkVector<ErrorPair> pairs) {
  DurationError error;
  error.hours = hours;
  std::vector<float> wet;
  std::size_t zeros = 0;
  for (const ErrorPair& pair : pairs) {
    if (pair.estimate_mm > 0) continue;
    if (pair.measured_mm > 0)
      wet.push_back(pair.measured_mm);
    else
      ++zeros;
  }
  const DryErrors dry = dry_errors(wet, zeros);
  error.dry_high_mm = dry.high_mm;
  error.dry_error_mm = dry.error_mm;
  error.bins = error_bins(pairs);
  return error;
}

std::size_t wet_pairs(std::span<const ErrorPair> pairs) {
  return static_cast<std::size_t>(std::count_if(
      pairs.begin(), pairs.end(), [](const ErrorPair& pair) { return pair.estimate_mm > 0; }));
}

// Share of each half within the bands that the other half teaches.
double halves_coverage(double hours, const WindowPairs& pairs) {
  std::size_t tested = 0;
  std::size_t held = 0;
  for (std::size_t half = 0; half < 2; ++half) {
    if (wet_pairs(pairs.halves[1 - half]) < kFewestWindows) continue;
    const DurationErrors errors{{learn_duration(hours, pairs.halves[1 - half])}};
    for (const ErrorPair& pair : pairs.halves[half]) {
      if (pair.estimate_mm <= 0) continue;
      const DepthError band = errors.at(hours, static_cast<double>(pair.estimate_mm));
      const auto measured = static_cast<double>(pair.measured_mm);
      ++tested;
      held += band.low_mm <= measured && measured <= band.high_mm ? 1 : 0;
    }
  }
  if (tested == 0) return std::numeric_limits<double>::quiet_NaN();
  return static_cast<double>(held) / static_cast<double>(tested);
}

}  // namespace

DepthError StepErrors::at(double estimate_mm, double wet_share, double root_share,
                          double variance) const {
  DepthError error;
  const std::size_t by_share = wet_class(wet_share);
  if (estimate_mm > 0 && !wet[by_share].empty()) {
    error = error_at(wet[by_share], estimate_mm);
  } else if (estimate_mm > 0) {
    error = {0, 2 * estimate_mm, estimate_mm};
    for (const auto& bins : wet)
      if (!bins.empty()) error = error_at(bins, estimate_mm);
  } else {
    const DryErrors& d = dry[dry_class(root_share)];
    error = {0, d.high_mm, d.error_mm};
  }
  const double wider =
      std::clamp(std::sqrt(variance / std::max(1e-6, typical_variance)), 1.0, kWidest);
  const double low = std::min(error.low_mm, estimate_mm);
  const double high = std::max(error.high_mm, estimate_mm);
  return {std::max(0.0, estimate_mm - wider * (estimate_mm - low)),
          estimate_mm + wider * (high - estimate_mm), wider * error.standard_error_mm};
}

LearnedErrors learn_errors(const Ground& ground, const Learned& learned) {
  const std::vector<std::size_t> lengths = window_lengths(ground);
  Lesson all = all_lessons(ground, learned, lengths);
  LearnedErrors errors;
  for (std::size_t i = 0; i < all.wet.size(); ++i) errors.steps.wet[i] = error_bins(all.wet[i]);
  for (std::size_t i = 0; i < all.dry.size(); ++i)
    errors.steps.dry[i] = dry_errors(all.dry[i], all.zeros[i]);
  if (all.steps > 0) errors.steps.typical_variance = all.variance / static_cast<double>(all.steps);
  errors.hourly_coverage = errors.daily_coverage = std::numeric_limits<double>::quiet_NaN();
  for (std::size_t d = 0; d < lengths.size(); ++d) {
    const double hours = ground.hours(lengths[d]);
    const WindowPairs& pairs = all.windows[d];
    if (lengths[d] == ground.hour_steps) errors.hourly_coverage = halves_coverage(hours, pairs);
    if (hours == 24) errors.daily_coverage = halves_coverage(hours, pairs);
    BulkVector<ErrorPair> both = pairs.halves[0];
    append(both, pairs.halves[1]);
    if (wet_pairs(both) < kFewestWindows) continue;
    errors.durations.durations.push_back(learn_duration(hours, std::move(both)));
  }
  return errors;
}

}  // namespace gaugeloom::fill_internal
