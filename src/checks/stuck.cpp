#include "gaugeloom/checks/stuck.hpp"

#include <fmt/format.h>

#include <utility>

#include "checks/equal_runs_internal.hpp"
#include "checks/finding_text_internal.hpp"

namespace gaugeloom {
namespace {

Finding made(const CheckContext& context, const EqualRun& run, const LearnedThreshold& level) {
  Finding finding = finding_of(context, run, FindingKind::stuck, level.confirmed);
  finding.reason = fmt::format(
      "{:.3f} mm in each of {} steps on end, over {}: rain does not repeat itself that long.",
      context.steps.depth_mm(run.gauge, run.first), run.length(),
      span_text(context.steps.axis().end(run.last - 1) - finding.from));
  finding.innocent_explanation =
      "Drizzle of a bucket a step, or a longer total spread evenly over its steps.";
  return finding;
}

CheckOutcome found(const CheckContext& context, bool with_outlets) {
  CheckOutcome out;
  EqualRuns equal = find_equal_runs(context);
  for (const EqualRun& run : equal.runs) {
    if (!with_outlets && run.is_outlet()) continue;
    out.findings.push_back(made(context, run, equal.threshold));
    if (context.keep_growth) out.growth.push_back(growth_of(context, run, equal.threshold));
  }
  out.threshold = std::move(equal.threshold);
  return out;
}

}  // namespace

CheckOutcome find_stuck(const CheckContext& context) { return found(context, false); }

CheckOutcome find_stuck_suspects(const CheckContext& context) { return found(context, true); }

}  // namespace gaugeloom
