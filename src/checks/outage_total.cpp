#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <optional>

#include "checks/burst_hour_internal.hpp"
#include "checks/finding_text_internal.hpp"
#include "checks/outage_total_internal.hpp"

namespace gaugeloom {
namespace {

constexpr double kLeastOfExpected = 1 / 3.0;
constexpr double kMostOfExpected = 3;
constexpr double kLeastKnown = 0.8;  // of the hours
constexpr double kConfirmedMm = 10;  // our choice

// Hours [first, last) that the outage and its reading touch.
struct Outage {
  std::size_t gauge = 0;
  Interval over;
  std::size_t first = 0;
  std::size_t last = 0;
  double read_mm = 0;
};

// NaN where the neighbours say too little.
double expected_mm(const CheckContext& context, const Outage& outage) {
  double sum = 0;
  std::size_t known = 0;
  for (std::size_t hour = outage.first; hour < outage.last; ++hour) {
    const double depth = context.expected.depth_at(outage.gauge, hour);
    if (std::isnan(depth)) continue;
    sum += depth;
    ++known;
  }
  const auto hours = static_cast<double>(outage.last - outage.first);
  if (static_cast<double>(known) < kLeastKnown * hours) return std::nan("");
  return sum * hours / static_cast<double>(known);
}

std::optional<Finding> told(const CheckContext& context, const Outage& outage) {
  if (!(outage.read_mm >= kLeastBurstMm)) return std::nullopt;
  const double expected = expected_mm(context, outage);
  if (!(outage.read_mm >= kLeastOfExpected * expected) ||
      outage.read_mm > kMostOfExpected * expected)
    return std::nullopt;
  const double wettest = wettest_neighbour_mm(context, outage.gauge, outage.last - 1);
  if (outage.read_mm < kTimesNeighbours * wettest) return std::nullopt;
  if (outage.read_mm < own_high_mm(context, outage.gauge)) return std::nullopt;
  const StepAxis& axis = context.hours.axis();
  Finding finding =
      finding_over(context, FindingKind::release_burst, outage.gauge, outage.first, outage.last);
  finding.tier = outage.read_mm >= kConfirmedMm ? Tier::confirmed : Tier::provisional;
  finding.from = outage.over.from;
  finding.to = outage.over.to;
  finding.called = axis.end(std::min(outage.last, axis.count() - 1));
  finding.observed_mm = outage.read_mm;
  finding.expected_mm = expected;
  finding.score = outage.read_mm / (kTimesNeighbours * wettest + 1);
  finding.reason = fmt::format(
      "{} in its first reading after {} without any, while {} then: "
      "near the {} that they lead us to expect since it fell silent, so it is the total of all "
      "that time. Held against {}.",
      mm_text(outage.read_mm), span_text(outage.over.to - outage.over.from), no_more_text(wettest),
      mm_text(expected), neighbours_text(context, outage.gauge, finding.neighbours));
  finding.innocent_explanation =
      "A cloudburst of a few kilometres may have stood over the gauge just then.";
  return finding;
}

void look_at(const CheckContext& context, std::size_t gauge, std::vector<Finding>& findings) {
  const StepAxis& steps = context.steps.axis();
  const StepAxis& hours = context.hours.axis();
  const auto row = context.steps.row(gauge);
  std::size_t first = 0;  // of the missing run before `step`
  for (std::size_t step = 0; step < row.size(); ++step) {
    if (std::isnan(row[step])) continue;
    const Interval silent{steps.begin(first), steps.begin(step)};
    const bool long_enough = first > 0 && silent.to - silent.from >= std::chrono::hours(1);
    first = step + 1;
    if (!long_enough) continue;
    const Interval over{silent.from, steps.end(step)};
    const StepAxis::Range touched = hours.touching(over);
    if (touched.last <= touched.first) continue;
    const auto found =
        told(context, {gauge, over, touched.first, touched.last, static_cast<double>(row[step])});
    if (found) findings.push_back(*found);
  }
}

}  // namespace

std::vector<Finding> outage_totals(const CheckContext& context) {
  std::vector<Finding> findings;
  for (std::size_t gauge = 0; gauge < context.steps.gauge_count(); ++gauge)
    look_at(context, gauge, findings);
  return findings;
}

}  // namespace gaugeloom
