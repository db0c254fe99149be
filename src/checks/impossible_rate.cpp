#include "gaugeloom/checks/impossible_rate.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "checks/finding_text_internal.hpp"
#include "checks/score_growth_internal.hpp"
#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

struct Record {
  double hours;
  double depth_mm;
};
constexpr std::array<Record, 9> kRecords = {{{1.0 / 60, 31.2},
                                             {0.25, 198.1},
                                             {0.7, 305},
                                             {1, 305},
                                             {24, 1825},
                                             {48, 2493},
                                             {72, 3929},
                                             {96, 4869},
                                             {8766, 26470}}};
constexpr double kRounding = 1e-6;  // of depths kept in single precision: a record is no finding

struct Passed {
  std::size_t first = 0;  // steps [first, last)
  std::size_t last = 0;
  double score = 0;  // depth over the limit, the largest
  double depth_mm = 0;
  double limit_mm = 0;
  Duration window{};
  bool own_rating = false;
};

void join(std::vector<Passed>& runs, const Passed& next) {
  if (runs.empty() || next.first > runs.back().last) {
    runs.push_back(next);
    return;
  }
  Passed& run = runs.back();
  run.last = std::max(run.last, next.last);
  if (next.score > run.score) {
    const std::size_t first = std::min(run.first, next.first);
    const std::size_t last = run.last;
    run = next;
    run.first = first;
    run.last = last;
  }
}

// Runs of sliding windows of `steps` steps that hold more than limit_mm.
std::vector<Passed> passing(std::span<const float> row, std::size_t steps, double limit_mm,
                            Duration window, bool own_rating) {
  std::vector<Passed> runs;
  double sum = 0;
  for (std::size_t i = 0; i < row.size(); ++i) {
    if (!std::isnan(row[i])) sum += row[i];
    if (i >= steps && !std::isnan(row[i - steps])) sum -= row[i - steps];
    if (sum <= limit_mm * (1 + kRounding)) continue;
    const std::size_t first = i + 1 >= steps ? i + 1 - steps : 0;
    join(runs, {first, i + 1, sum / limit_mm, sum, limit_mm, window, own_rating});
  }
  return runs;
}

Finding made(const CheckContext& context, std::size_t gauge, const Passed& run) {
  const StepAxis& axis = context.steps.axis();
  Finding finding;
  finding.gauge = gauge;
  finding.kind = FindingKind::impossible_rate;
  finding.tier = run.own_rating ? Tier::provisional : Tier::confirmed;
  finding.from = axis.begin(run.first);
  finding.to = axis.end(run.last - 1);
  finding.called = axis.end(run.last - 1);
  finding.score = run.score;
  double observed = 0;
  for (std::size_t i = run.first; i < run.last; ++i) {
    const float depth = context.steps.depth_mm(gauge, i);
    if (!std::isnan(depth)) observed += depth;
  }
  finding.observed_mm = observed;
  finding.expected_mm = std::numeric_limits<double>::quiet_NaN();
  finding.reason = fmt::format(
      "{} in {} is more than {} ({}).", mm_text(run.depth_mm), span_text(run.window),
      run.own_rating ? "this gauge is rated to count" : "was ever measured on Earth in that time",
      mm_text(run.limit_mm));
  finding.innocent_explanation =
      run.own_rating ? "A burst shorter than the step, or a rating that is set too low."
                     : "A total over a longer span was stored in one step.";
  return finding;
}

}  // namespace

double world_record_mm(double duration_h) {
  GAUGELOOM_ASSERT(duration_h > 0);
  if (duration_h <= kRecords.front().hours) return kRecords.front().depth_mm;
  std::size_t right = 1;
  while (right + 1 < kRecords.size() && duration_h > kRecords[right].hours) ++right;
  const Record& a = kRecords[right - 1];
  const Record& b = kRecords[right];
  const double slope = portable_log(b.depth_mm / a.depth_mm) / portable_log(b.hours / a.hours);
  return a.depth_mm * portable_pow(duration_h / a.hours, slope);
}

CheckOutcome find_impossible_rate(const CheckContext& context) {
  CheckOutcome out;
  const StepAxis& axis = context.steps.axis();
  for (std::size_t gauge = 0; gauge < context.network.size(); ++gauge) {
    const auto row = context.steps.row(gauge);
    std::vector<Passed> runs;
    for (const int hours : {0, 1, 24}) {
      const auto steps = hours == 0 ? std::size_t{1} : axis.steps_in(std::chrono::hours(hours));
      if (!steps || (hours > 0 && *steps == 1)) continue;
      const auto window = axis.step() * static_cast<long>(*steps);
      const double limit = world_record_mm(static_cast<double>(window.count()) / 3600);
      for (const Passed& p : passing(row, *steps, limit, window, false)) runs.push_back(p);
    }
    if (const auto rating = context.network.gauges[gauge].max_rate_mm_h) {
      const double limit = *rating * axis.step_hours();
      for (const Passed& p : passing(row, 1, limit, axis.step(), true)) runs.push_back(p);
    }
    // Where windows overlap, the shortest that shows it stands.
    std::vector<Passed> kept;
    for (const Passed& p : runs) {
      const bool known = std::any_of(kept.begin(), kept.end(), [&](const Passed& k) {
        return k.first < p.last && p.first < k.last;
      });
      if (!known) kept.push_back(p);
    }
    for (const Passed& p : kept) out.findings.push_back(made(context, gauge, p));
  }
  if (context.keep_growth) out.growth = grown_when_called(out.findings);
  return out;
}

}  // namespace gaugeloom
