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
  std::vector<BulkVector<float>> roots(ground.gauges());
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
  BulkVector<float> all;
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
  double bias = 0;
  double wet_ratio = 0;
  double correction = 1;  // measured over estimated, before the mean ratios
  std::vector<MeanRatio> mean_ratios;
  std::vector<PairSums> hours;  // per gauge
};

CourseRule course_rule_of(const Ground& ground, const Trial& trial, double ratio) {
  return {trial.score.method, trial.threshold / std::sqrt(ratio), ratio, ground.hour_steps,
          trial.mean_ratios};
}

// The leave-one-out courses of all gauges; NaN where they cannot be tested.
using Courses = std::vector<BulkVector<float>>;
Courses test_courses(const Ground& ground, const ScaledRain& rain, std::span<const double> ratios,
                     const WeightRule& rule, const Trial& trial) {
  Courses courses(ground.gauges());
  parallel_for(ground.gauges(), ground.options.threads, [&](std::size_t g) {
    const NeighbourEstimates e = neighbour_estimates(ground.around[g], rain, rule);
    courses[g].assign(ground.steps(), std::numeric_limits<float>::quiet_NaN());
    lay_course(e, testable_steps(ground, g, e), course_rule_of(ground, trial, ratios[g]),
               courses[g]);
  });
  return courses;
}

void learn_mean_ratios(const Ground& ground, Courses& courses, Trial& trial) {
  BulkVector<MeanPair> pairs;
  double measured_mm = 0;
  for (std::size_t g = 0; g < courses.size(); ++g)
    for (std::size_t s = 0; s < courses[g].size(); ++s) {
      if (std::isnan(courses[g][s])) continue;
      const float measured = ground.depths.depth_mm(g, s);
      measured_mm += static_cast<double>(measured);
      if (courses[g][s] > 0) pairs.push_back({courses[g][s], measured});
    }
  double estimated_mm = 0;
  for (const MeanPair& pair : pairs) estimated_mm += static_cast<double>(pair.estimate_mm);
  if (estimated_mm <= 0) return;
  trial.correction = measured_mm / estimated_mm;
  trial.mean_ratios = mean_ratios(std::move(pairs));
  estimated_mm = 0;
  for (auto& course : courses)
    for (float& mm : course) {
      if (!(mm > 0)) continue;
      const auto depth = static_cast<double>(mm);
      mm = static_cast<float>(depth * mean_ratio(trial.mean_ratios, depth));
      estimated_mm += static_cast<double>(mm);
    }
  // What falls where the estimate is dry is put on the wet steps.
  if (estimated_mm <= 0) return;  // nothing was measured where the estimate is wet
  const double rest = measured_mm / estimated_mm;
  for (MeanRatio& ratio : trial.mean_ratios) ratio.ratio *= rest;
  for (auto& course : courses)
    for (float& mm : course) mm *= static_cast<float>(rest);
}

struct WetCounts {
  std::size_t measured = 0;
  std::size_t estimated = 0;
};

Trial try_method(const Ground& ground, const ScaledRain& rain, std::span<const double> ratios,
                 const WeightRule& rule, MethodScore score) {
  Trial trial{score, wet_threshold(ground, rain, ratios, rule), 0, 0, 1, {}, {}};
  Courses courses = test_courses(ground, rain, ratios, rule, trial);
  learn_mean_ratios(ground, courses, trial);
  trial.hours.resize(ground.gauges());
  PairSums steps;
  PairSums hours;
  WetCounts wet;
  for (std::size_t g = 0; g < courses.size(); ++g) {
    add_windows(ground.depths.row(g), courses[g], 1, steps);
    add_windows(ground.depths.row(g), courses[g], ground.hour_steps, trial.hours[g]);
    hours.add(trial.hours[g]);
    for (std::size_t s = 0; s < courses[g].size(); ++s) {
      if (std::isnan(courses[g][s])) continue;
      wet.measured += ground.depths.depth_mm(g, s) > 0 ? 1 : 0;
      wet.estimated += courses[g][s] > 0 ? 1 : 0;
    }
  }
  trial.score.rmse_mm = hours.rmse(1);
  trial.bias = hours.measured > 0 ? hours.estimated / hours.measured - 1 : 0;
  trial.score.step_rmse_mm = steps.rmse(1);
  trial.wet_ratio = static_cast<double>(wet.estimated) / static_cast<double>(wet.measured);
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
  plan.mean_correction = trial.correction;
  learned.mean_ratios = trial.mean_ratios;
  plan.bias = trial.bias;
  plan.wet_ratio = trial.wet_ratio;
  learned.rule.kriging = plan.method != FillMethod::inverse_distance;
  learned.ratios.assign(ratios.begin(), ratios.end());
  for (std::size_t g = 0; g < learned.gauges.size(); ++g)
    learned.gauges[g] = {trial.hours[g].wet_rmse(1), trial.hours[g].skill(1)};
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
  const double ratio = learned.ratios[gauge];
  return {learned.plan.method, learned.plan.wet_threshold / std::sqrt(ratio), ratio,
          ground.hour_steps, learned.mean_ratios};
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
