#include "fill/learn_plan_internal.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <functional>
#include <limits>

#include "fill/site_ratio_internal.hpp"
#include "gaugeloom/core/parallel.hpp"

namespace gaugeloom::fill_internal {
namespace {

constexpr std::size_t kFewestWetHours = 100;
constexpr double kTie = 1.001;  // errors within 0.1 % are equal
// Tried for the kriging weights; what they decide is flat, so a coarse grid is enough.
constexpr double kRangesKm[] = {4, 8, 16, 32, 64};
constexpr double kNuggets[] = {0.01, 0.1, 0.3};

std::vector<float> masked(std::span<const float> values, std::span<const char> keep) {
  std::vector<float> result(values.begin(), values.end());
  for (std::size_t s = 0; s < result.size(); ++s)
    if (keep[s] == 0) result[s] = std::numeric_limits<float>::quiet_NaN();
  return result;
}

// Hourly fit of the bare amounts of one rule, without thresholds.
PairSums bare_score(const Ground& ground, const ScaledRain& rain, std::span<const double> ratios,
                    const WeightRule& rule) {
  std::vector<PairSums> sums(ground.gauges());
  parallel_for(ground.gauges(), ground.options.threads, [&](std::size_t g) {
    const NeighbourEstimates e = neighbour_estimates(ground.around[g], rain, rule);
    std::vector<float> estimated = masked(e.amount, testable_steps(ground, g, e));
    for (float& mm : estimated) mm *= static_cast<float>(ratios[g]);
    add_windows(ground.depths.row(g), estimated, ground.hour_steps, sums[g]);
  });
  PairSums total;
  for (const PairSums& s : sums) total.add(s);
  return total;
}

// Hourly fit of the nearest usable gauge.
PairSums nearest_score(const Ground& ground) {
  std::vector<PairSums> sums(ground.gauges());
  parallel_for(ground.gauges(), ground.options.threads, [&](std::size_t g) {
    std::vector<float> estimated(ground.steps(), std::numeric_limits<float>::quiet_NaN());
    const Neighbourhood& around = ground.around[g];
    for (const DonorRun& run : around.runs) {
      if (std::popcount(run.chosen) < 3) continue;
      const std::size_t row =
          around.candidates[static_cast<std::size_t>(std::countr_zero(run.chosen))];
      for (std::size_t s = run.first; s < run.last; ++s)
        if (ground.donors.is_good(g, s)) estimated[s] = ground.depths.depth_mm(row, s);
    }
    add_windows(ground.depths.row(g), estimated, ground.hour_steps, sums[g]);
  });
  PairSums total;
  for (const PairSums& s : sums) total.add(s);
  return total;
}

// The threshold on the square root (site ratio put back) that makes as many steps wet as were.
double wet_threshold(const Ground& ground, const ScaledRain& rain, std::span<const double> ratios,
                     const WeightRule& rule) {
  std::vector<std::vector<float>> roots(ground.gauges());
  std::vector<std::size_t> wet(ground.gauges(), 0);
  parallel_for(ground.gauges(), ground.options.threads, [&](std::size_t g) {
    const NeighbourEstimates e = neighbour_estimates(ground.around[g], rain, rule);
    const std::vector<char> testable = testable_steps(ground, g, e);
    const auto scale = static_cast<float>(std::sqrt(ratios[g]));
    for (std::size_t s = 0; s < testable.size(); ++s) {
      if (testable[s] == 0) continue;
      if (ground.depths.depth_mm(g, s) > 0) ++wet[g];
      if (e.root[s] > 0) roots[g].push_back(e.root[s] * scale);
    }
  });
  std::vector<float> all;
  std::size_t wet_count = 0;
  for (std::size_t g = 0; g < roots.size(); ++g) {
    all.insert(all.end(), roots[g].begin(), roots[g].end());
    wet_count += wet[g];
  }
  if (wet_count >= all.size()) return 0;
  const auto nth = all.begin() + static_cast<std::ptrdiff_t>(wet_count);
  std::nth_element(all.begin(), nth, all.end(), std::greater<>());
  return static_cast<double>(*nth);
}

struct Trial {
  MethodScore score;
  double threshold = 0;
  double factor = 1;
  double wet_ratio = 0;
  std::vector<PairSums> hours;  // per gauge, before the factor
};

struct StepCounts {
  PairSums steps;
  std::size_t wet_measured = 0;
  std::size_t wet_estimated = 0;
};

// The leave-one-out course of one gauge; NaN where it could not be tested.
std::vector<float> test_course(const Ground& ground, std::size_t g, const NeighbourEstimates& e,
                               const CourseRule& rule) {
  std::vector<float> course(ground.steps(), std::numeric_limits<float>::quiet_NaN());
  lay_course(e, testable_steps(ground, g, e), ground.spells, rule, course);
  return course;
}

CourseRule course_rule_of(const Ground& ground, FillMethod method, double threshold, double factor,
                          double ratio) {
  return {method, threshold / std::sqrt(ratio), factor * ratio, ground.hour_steps};
}

Trial try_method(const Ground& ground, const ScaledRain& rain, std::span<const double> ratios,
                 const WeightRule& rule, MethodScore score) {
  Trial trial{score, wet_threshold(ground, rain, ratios, rule), 1, 0, {}};
  trial.hours.resize(ground.gauges());
  std::vector<StepCounts> counts(ground.gauges());
  parallel_for(ground.gauges(), ground.options.threads, [&](std::size_t g) {
    const NeighbourEstimates e = neighbour_estimates(ground.around[g], rain, rule);
    const std::vector<float> course = test_course(
        ground, g, e, course_rule_of(ground, score.method, trial.threshold, 1, ratios[g]));
    add_windows(ground.depths.row(g), course, 1, counts[g].steps);
    add_windows(ground.depths.row(g), course, ground.hour_steps, trial.hours[g]);
    for (std::size_t s = 0; s < course.size(); ++s) {
      if (std::isnan(course[s])) continue;
      counts[g].wet_measured += ground.depths.depth_mm(g, s) > 0 ? 1 : 0;
      counts[g].wet_estimated += course[s] > 0 ? 1 : 0;
    }
  });
  StepCounts all;
  PairSums hours;
  for (std::size_t g = 0; g < counts.size(); ++g) {
    all.steps.add(counts[g].steps);
    all.wet_measured += counts[g].wet_measured;
    all.wet_estimated += counts[g].wet_estimated;
    hours.add(trial.hours[g]);
  }
  if (all.steps.estimated > 0) trial.factor = all.steps.measured / all.steps.estimated;
  trial.score.rmse_mm = hours.rmse(trial.factor);
  trial.score.step_rmse_mm = all.steps.rmse(trial.factor);
  trial.wet_ratio = static_cast<double>(all.wet_estimated) / static_cast<double>(all.wet_measured);
  return trial;
}

Variogram best_variogram(const Ground& ground, const ScaledRain& rain,
                         std::span<const double> ratios, WeightRule rule) {
  rule.kriging = true;
  Variogram best;
  double smallest = std::numeric_limits<double>::infinity();
  for (const double range_km : kRangesKm)
    for (const double nugget : kNuggets) {
      rule.variogram = {VariogramShape::exponential, nugget, 1 - nugget, 1000 * range_km, 0.5};
      const double error = bare_score(ground, rain, ratios, rule).rmse(1);
      if (!(error < smallest)) continue;
      smallest = error;
      best = rule.variogram;
    }
  return best;
}

bool better(const MethodScore& a, const MethodScore& b) {
  if (a.rmse_mm * kTie < b.rmse_mm) return true;
  return a.rmse_mm <= b.rmse_mm * kTie && a.step_rmse_mm < b.step_rmse_mm;
}

void take(Learned& learned, const Trial& trial, std::span<const double> ratios) {
  FillPlan& plan = learned.plan;
  plan.method = trial.score.method;
  plan.site_ratio = trial.score.site_ratio;
  plan.wet_threshold = trial.threshold;
  plan.mean_correction = trial.factor;
  plan.wet_ratio = trial.wet_ratio;
  learned.rule.kriging = plan.method != FillMethod::inverse_distance;
  learned.ratios.assign(ratios.begin(), ratios.end());
  for (std::size_t g = 0; g < learned.gauges.size(); ++g)
    learned.gauges[g] = {trial.hours[g].wet_rmse(trial.factor), trial.hours[g].skill(trial.factor)};
}

void try_all(const Ground& ground, std::span<const double> site, Learned& learned) {
  const std::vector<double> ones(ground.gauges(), 1);
  const MethodScore* best = nullptr;
  learned.plan.scores.reserve(6);
  for (const bool with_ratio : {false, true}) {
    const std::span<const double> ratios = with_ratio ? site : std::span<const double>(ones);
    const ScaledRain rain = scaled_rain(ground.depths, ratios);
    for (const FillMethod method :
         {FillMethod::inverse_distance, FillMethod::kriging, FillMethod::kriging_square_root}) {
      WeightRule rule = learned.rule;
      rule.kriging = method != FillMethod::inverse_distance;
      const Trial trial = try_method(ground, rain, ratios, rule, {method, with_ratio, 0, 0});
      learned.plan.scores.push_back(trial.score);
      if (best != nullptr && !better(trial.score, *best)) continue;
      best = &learned.plan.scores.back();
      take(learned, trial, ratios);
    }
  }
}

}  // namespace

CourseRule course_rule(const Ground& ground, const Learned& learned, std::size_t gauge) {
  return course_rule_of(ground, learned.plan.method, learned.plan.wet_threshold,
                        learned.plan.mean_correction, learned.ratios[gauge]);
}

Learned learn_plan(const Ground& ground) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  Learned learned;
  learned.ratios.assign(ground.gauges(), 1);
  learned.gauges.assign(ground.gauges(), {nan, nan});
  learned.rule.reach = ground.reach;
  learned.rule.variogram = ground.reach;
  learned.rule.max_lone_side_m = 1000 * ground.options.max_lone_side_km;
  const ScaledRain plain = scaled_rain(ground.depths, learned.ratios);
  const PairSums inverse = bare_score(ground, plain, learned.ratios, learned.rule);
  learned.plan.plain_inverse_rmse_mm = inverse.rmse(1);
  learned.plan.nearest_rmse_mm = nearest_score(ground).rmse(1);
  learned.plan.learned = inverse.wet >= kFewestWetHours && inverse.measured > 0;
  if (!learned.plan.learned) return learned;
  const std::vector<double> site = site_ratios(ground, learned.rule);
  learned.rule.variogram =
      best_variogram(ground, scaled_rain(ground.depths, site), site, learned.rule);
  learned.plan.variogram_nugget = learned.rule.variogram.nugget;
  learned.plan.variogram_range_m = learned.rule.variogram.range_m;
  try_all(ground, site, learned);
  return learned;
}

}  // namespace gaugeloom::fill_internal
