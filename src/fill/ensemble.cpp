#include "gaugeloom/fill/ensemble.hpp"

#include <algorithm>
#include <cmath>

#include "fill/lasting_shares_internal.hpp"
#include "fill/latent_field_internal.hpp"
#include "fill/spread_total_internal.hpp"
#include "fill/step_law_internal.hpp"
#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/normal_law.hpp"
#include "gaugeloom/core/parallel.hpp"

namespace gaugeloom {
namespace {

using Range = StepAxis::Range;

constexpr double kLongestHours = 24;     // sums beyond a day are not tuned
constexpr double kReachOverRange = 1.5;  // both laws then begin to fall alike

constexpr double kHighestShare = 1 - 1e-9;  // a law has no end

bool is_estimate(Origin origin) {
  return origin == Origin::neighbours || origin == Origin::spread_total;
}

// The step, and the durations that taught errors of sums, up to a day.
std::vector<std::chrono::seconds> scales_of(const FillResult& filled) {
  const std::chrono::seconds step = filled.record.depth.axis().step();
  std::vector<std::chrono::seconds> scales{step};
  for (const DurationError& duration : filled.errors.durations) {
    const auto steps = std::lround(duration.hours * 3600 / static_cast<double>(step.count()));
    if (steps > 1 && duration.hours <= kLongestHours) scales.push_back(step * steps);
  }
  return scales;
}

std::vector<Range> estimated_runs(const SeriesRecord& record, std::size_t gauge) {
  std::vector<Range> runs;
  for (std::size_t s = 0; s < record.depth.step_count(); ++s) {
    if (!is_estimate(record.origin[record.index(gauge, s)])) continue;
    if (runs.empty() || runs.back().last != s) runs.push_back({s, s});
    ++runs.back().last;
  }
  return runs;
}

// The steps of totals, per gauge, by time.
std::vector<std::vector<Range>> totals_by_gauge(const RainRecord& rain, const FillResult& filled) {
  const StepAxis& axis = filled.record.depth.axis();
  std::vector<std::vector<Range>> ranges(filled.record.depth.gauge_count());
  for (const SpreadTotal& total : filled.totals)
    if (total.fate != TotalFate::not_used)
      ranges[rain.totals[total.total].gauge].push_back(axis.within(rain.totals[total.total].over));
  for (const RecoveredWater& water : filled.recovered)
    if (water.put_back) ranges[water.gauge].push_back(axis.within(water.over));
  for (auto& of_gauge : ranges)
    std::sort(of_gauge.begin(), of_gauge.end(),
              [](const Range& a, const Range& b) { return a.first < b.first; });
  return ranges;
}

float in_thousandths(double mm) { return static_cast<float>(std::lround(mm * 1000)) / 1000.0F; }

}  // namespace

struct Ensemble::State {
  const FillResult& filled;
  EnsembleOptions options;
  fill_internal::LatentField field;
  std::vector<fill_internal::StepLaws> laws;  // per gauge
  std::vector<std::vector<double>> shares;    // per gauge
  std::vector<std::vector<Range>> totals;     // per gauge

  std::size_t members() const { return static_cast<std::size_t>(options.members); }
  void draw_steps(std::size_t gauge, Range steps, std::span<float> out) const;
  std::vector<float> draw_total(std::size_t gauge, Range steps) const;
};

// Every step by its own law.
void Ensemble::State::draw_steps(std::size_t gauge, Range steps, std::span<float> out) const {
  const SeriesRecord& record = filled.record;
  fill_internal::LatentWalk walk(field, gauge, shares[gauge], members());
  std::vector<double> numbers(members());
  for (std::size_t s = steps.first; s < steps.last; ++s) {
    const auto depths = out.subspan((s - steps.first) * members(), members());
    std::fill(depths.begin(), depths.end(), record.depth.depth_mm(gauge, s));
    if (!is_estimate(record.origin[record.index(gauge, s)])) continue;
    const auto law = laws[gauge].at(s);
    if (!law) continue;
    walk.at(record.depth.axis().end(s), numbers);
    for (std::size_t m = 0; m < members(); ++m)
      depths[m] =
          in_thousandths(law->quantile_mm(std::min(kHighestShare, normal_share(numbers[m]))));
  }
}

// The draws of its steps are the course on which each member lays the total.
std::vector<float> Ensemble::State::draw_total(std::size_t gauge, Range steps) const {
  const RainTable& depth = filled.record.depth;
  std::vector<float> draws((steps.last - steps.first) * members());
  draw_steps(gauge, steps, draws);
  double total_mm = 0;
  std::vector<double> as_filled;
  for (std::size_t s = steps.first; s < steps.last; ++s) {
    as_filled.push_back(static_cast<double>(depth.depth_mm(gauge, s)));
    total_mm += as_filled.back();
  }
  if (total_mm <= 0) std::fill(draws.begin(), draws.end(), 0.0F);
  for (std::size_t m = 0; m < members() && total_mm > 0; ++m) {
    std::vector<double> course;
    for (std::size_t i = m; i < draws.size(); i += members())
      course.push_back(static_cast<double>(draws[i]));
    if (std::all_of(course.begin(), course.end(), [](double mm) { return mm <= 0; }))
      course = as_filled;
    const std::vector<long> parts = fill_internal::split_thousandths(total_mm, course);
    for (std::size_t i = 0; i < parts.size(); ++i)
      draws[i * members() + m] = static_cast<float>(parts[i]) / 1000.0F;
  }
  return draws;
}

std::optional<std::string> EnsembleOptions::problem() const {
  if (members < 1 || members > 1000) return "members must be 1 to 1000";
  if (threads < 0) return "threads must be 0 or more";
  return std::nullopt;
}

Ensemble::Ensemble(const Network& network, const RainRecord& rain, const FillResult& filled,
                   const EnsembleOptions& options) {
  if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
  const double reach_m = kReachOverRange * filled.plan.variogram_range_m;
  auto state = std::make_unique<State>(
      State{filled, options, {network, reach_m, scales_of(filled), options.seed}, {}, {}, {}});
  state->totals = totals_by_gauge(rain, filled);
  for (std::size_t gauge = 0; gauge < network.size(); ++gauge)
    state->laws.emplace_back(filled.record, gauge);
  state->shares.resize(network.size());
  parallel_for(network.size(), options.threads, [&](std::size_t gauge) {
    state->shares[gauge] =
        fill_internal::lasting_shares(filled, gauge, state->laws[gauge],
                                      estimated_runs(filled.record, gauge), state->field.scales());
  });
  state_ = std::move(state);
}

Ensemble::~Ensemble() = default;
Ensemble::Ensemble(Ensemble&&) noexcept = default;
Ensemble& Ensemble::operator=(Ensemble&&) noexcept = default;

std::size_t Ensemble::members() const { return state_->members(); }

bool Ensemble::is_estimated(std::size_t gauge, std::size_t step) const {
  const SeriesRecord& record = state_->filled.record;
  return is_estimate(record.origin[record.index(gauge, step)]);
}

void Ensemble::draw(std::size_t gauge, Range steps, std::span<float> out) const {
  const std::size_t count = members();
  GAUGELOOM_ASSERT(out.size() == (steps.last - steps.first) * count);
  state_->draw_steps(gauge, steps, out);
  for (const Range& total : state_->totals[gauge]) {
    const std::size_t first = std::max(total.first, steps.first);
    const std::size_t last = std::min(total.last, steps.last);
    if (first >= last) continue;
    const std::vector<float> draws = state_->draw_total(gauge, total);
    std::copy_n(draws.begin() + static_cast<std::ptrdiff_t>((first - total.first) * count),
                (last - first) * count,
                out.begin() + static_cast<std::ptrdiff_t>((first - steps.first) * count));
  }
}

std::span<const std::chrono::seconds> Ensemble::scales() const { return state_->field.scales(); }

std::span<const double> Ensemble::lasting_shares(std::size_t gauge) const {
  return state_->shares[gauge];
}

}  // namespace gaugeloom
