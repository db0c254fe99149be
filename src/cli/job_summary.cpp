// What check, fill and run say on stdout.

#include <algorithm>
#include <array>
#include <limits>

#include <fmt/format.h>

#include "gaugeloom/time/iso8601.hpp"
#include "job.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kFindingsShown = 40;

double percent(std::size_t part, std::size_t whole) {
  return whole == 0 ? 0.0 : 100.0 * static_cast<double>(part) / static_cast<double>(whole);
}

std::string period(const Finding& finding) {
  return fmt::format("{} to {}", format_utc(finding.from),
                     finding.to ? format_utc(*finding.to) : std::string("now"));
}

std::string quality_line(const QualityTable& quality) {
  std::array<std::size_t, 6> counts{};
  for (const Quality value : quality.values) ++counts[static_cast<std::size_t>(value)];
  std::string line;
  for (std::size_t i = 0; i < counts.size(); ++i) {
    if (counts[i] == 0) continue;
    line += fmt::format("{}{} {:.2f} %", line.empty() ? "" : ", ", word(static_cast<Quality>(i)),
                        percent(counts[i], quality.values.size()));
  }
  return line.empty() ? "nothing" : line;
}

void print_finding(const LoadedRecord& loaded, const Finding& finding, Streams io) {
  io.out << fmt::format("  {} {}, {}, {}: read {:.1f} mm", loaded.network.gauges[finding.gauge].id,
                        word(finding.kind), word(finding.tier), period(finding),
                        finding.observed_mm);
  if (finding.expected_mm >= 0) io.out << fmt::format(", expected {:.1f} mm", finding.expected_mm);
  io.out << '\n';
}

void warn_of_findings_still_used(const LoadedRecord& loaded, const Checked& checked,
                                 Replace replace, Streams io) {
  if (replace == Replace::provisional) return;
  for (const Finding& finding : checked.findings) {
    if (finding.kind == FindingKind::not_testable) continue;
    const bool replaced = finding.tier == Tier::confirmed && !keeps_its_depths(finding.kind);
    if (replaced && replace == Replace::confirmed) continue;
    io.out << fmt::format("warning: {} {} ({}), {}, still feeds the series; look at it\n",
                          loaded.network.gauges[finding.gauge].id, word(finding.kind),
                          word(finding.tier), period(finding));
  }
}

void print_refusals(const LoadedRecord& loaded, const FillResult& filled, Streams io) {
  std::array<std::size_t, 4> steps{};
  for (const RefusedSpan& span : filled.refusals)
    steps[static_cast<std::size_t>(span.why)] += span.steps;
  for (std::size_t i = 0; i < steps.size(); ++i)
    if (steps[i] > 0)
      io.out << fmt::format("  not filled: {:.2f} % of the steps ({}): {}\n",
                            percent(steps[i], loaded.rain.depths.values().size()),
                            word(static_cast<Refusal>(i)), sentence(static_cast<Refusal>(i)));
}

void print_recovered(const LoadedRecord& loaded, const FillResult& filled, Streams io) {
  for (const RecoveredWater& water : filled.recovered) {
    io.out << fmt::format("recovered: {} {} to {}: {:.1f} mm read late ",
                          loaded.network.gauges[water.gauge].id, format_utc(water.over.from),
                          format_utc(water.over.to), water.read_mm);
    if (water.put_back)
      io.out << "put back where it fell, nothing estimated\n";
    else
      io.out << fmt::format("less than fell; {:.1f} mm estimated in all\n", water.filled_mm);
  }
}

double chosen_rmse_mm(const FillPlan& plan) {
  for (const MethodScore& score : plan.scores)
    if (score.method == plan.method && score.site_ratio == plan.site_ratio) return score.rmse_mm;
  return std::numeric_limits<double>::quiet_NaN();
}

}  // namespace

void print_record(const LoadedRecord& loaded, Streams io) {
  const StepAxis& axis = loaded.rain.depths.axis();
  io.out << fmt::format("gauges: {}\n", loaded.network.size());
  io.out << fmt::format("steps: {} of {}, {} to {}\n", axis.count(), format_duration(axis.step()),
                        format_utc(axis.span().from), format_utc(axis.span().to));
}

void print_findings(const LoadedRecord& loaded, const Checked& checked, Streams io) {
  io.out << "quality: " << quality_line(checked.quality) << '\n';
  if (checked.summaries.empty()) {
    io.out << "findings: not looked for; the input is checked already\n";
    return;
  }
  const auto confirmed = std::count_if(checked.findings.begin(), checked.findings.end(),
                                       [](const Finding& f) { return f.tier == Tier::confirmed; });
  io.out << fmt::format("findings: {} ({} confirmed)\n", checked.findings.size(), confirmed);
  for (std::size_t i = 0; i < std::min(kFindingsShown, checked.findings.size()); ++i)
    print_finding(loaded, checked.findings[i], io);
  if (checked.findings.size() > kFindingsShown)
    io.out << fmt::format("  and {} more in findings.csv\n",
                          checked.findings.size() - kFindingsShown);
  print_review(checked.review, io);
}

void print_fill(const FillWork& work, Replace replace, Streams io) {
  print_record(work.loaded, io);
  print_findings(work.loaded, work.checked, io);
  const FillPlan& plan = work.filled.plan;
  io.out << "series: " << quality_line(work.filled.record.quality) << '\n';
  if (plan.learned)
    io.out << fmt::format(
        "filled by: {}{}; leave-one-out hourly RMSE {:.3f} mm (nearest gauge {:.3f} mm)\n",
        word(plan.method), plan.site_ratio ? " with site ratios" : "", chosen_rmse_mm(plan),
        plan.nearest_rmse_mm);
  print_recovered(work.loaded, work.filled, io);
  print_refusals(work.loaded, work.filled, io);
  warn_of_findings_still_used(work.loaded, work.checked, replace, io);
}

}  // namespace gaugeloom
