#include "gaugeloom/checks/stuck.hpp"

#include <fmt/format.h>

#include <utility>

#include "checks/equal_runs_internal.hpp"
#include "checks/finding_text_internal.hpp"

namespace gaugeloom {
namespace {

Finding made(const CheckContext& context, const EqualRun& run, const LearnedThreshold& level) {
  const StepAxis& axis = context.steps.axis();
  Finding finding;
  finding.gauge = run.gauge;
  finding.kind = FindingKind::stuck;
  finding.tier = run.score >= level.confirmed ? Tier::confirmed : Tier::provisional;
  finding.from = axis.begin(run.first);
  if (run.last < axis.count()) finding.to = axis.end(run.last - 1);
  finding.called = axis.end(run.called);
  finding.score = run.score;
  finding.observed_mm = run.observed_mm;
  finding.expected_mm = run.expected_mm;
  finding.reason = fmt::format(
      "{:.3f} mm in each of {} steps on end, over {}: rain does not repeat itself that long.",
      context.steps.depth_mm(run.gauge, run.first), run.length(),
      span_text(axis.end(run.last - 1) - finding.from));
  finding.innocent_explanation =
      "Drizzle of a bucket a step, or a longer total spread evenly over its steps.";
  return finding;
}

CheckOutcome found(const CheckContext& context, bool with_outlets) {
  CheckOutcome out;
  EqualRuns equal = find_equal_runs(context);
  for (const EqualRun& run : equal.runs)
    if (with_outlets || !run.is_outlet())
      out.findings.push_back(made(context, run, equal.threshold));
  out.threshold = std::move(equal.threshold);
  return out;
}

}  // namespace

CheckOutcome find_stuck(const CheckContext& context) { return found(context, false); }

CheckOutcome find_stuck_suspects(const CheckContext& context) { return found(context, true); }

}  // namespace gaugeloom
