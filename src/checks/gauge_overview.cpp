#include "gaugeloom/checks/gauge_overview.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

constexpr double kMuchMissing = 0.1;  // our choice: a tenth of the record

std::string reason_of(const Finding& finding, const Visit& visit) {
  const std::string when =
      finding.to ? fmt::format("{} to {}", format_utc(finding.from), format_utc(*finding.to))
                 : fmt::format("{} and lasting", format_utc(finding.from));
  return fmt::format("{} {}, {}{}{}", word(finding.tier), word(finding.kind), when,
                     visit.accepted.empty() ? "" : ", ", visit.accepted);
}

GaugeOverview overview_of(const SeriesRecord& record, std::size_t gauge) {
  GaugeOverview row;
  const std::size_t steps = record.observed.step_count();
  std::size_t missing = 0;
  std::size_t estimated = 0;
  for (std::size_t step = 0; step < steps; ++step) {
    const Quality quality = record.quality.at(gauge, step);
    if (record.observed.is_measured(gauge, step))
      row.observed_mm += static_cast<double>(record.observed.depth_mm(gauge, step));
    else
      ++missing;
    if (quality == Quality::estimate) ++estimated;
  }
  row.total_mm = window_sum(record.depth, gauge, 0, steps);
  if (steps > 0) {
    row.share_missing = static_cast<double>(missing) / static_cast<double>(steps);
    row.share_estimated = static_cast<double>(estimated) / static_cast<double>(steps);
  }
  return row;
}

std::string nothing_found(std::span<const GaugeSummary> summaries, std::size_t gauge) {
  if (summaries.empty()) return "not checked here";
  const GaugeSummary& summary = summaries[gauge];
  if (!(summary.share_testable > 0)) return "not testable: too few neighbours";
  if (std::isnan(summary.smallest_block_mm))
    return "nothing found, but not even a full block would have been noticed";
  const std::string block = fmt::format(
      "nothing found; a full block would have shown after {:.1f} mm", summary.smallest_block_mm);
  if (std::isnan(summary.smallest_step_percent)) return block;
  return fmt::format("{}, a fall of calibration from {:.0f} % on", block,
                     summary.smallest_step_percent);
}

void rank(const Network& network, std::span<const Finding> findings, std::span<const Visit> visits,
          std::span<const GaugeSummary> summaries, std::vector<GaugeOverview>& rows) {
  std::size_t place = 0;
  for (const Visit& visit : visits) {
    rows[visit.gauge].visit_rank = ++place;
    rows[visit.gauge].visit_reason = reason_of(findings[visit.finding], visit);
  }
  std::vector<std::size_t> others;
  for (std::size_t gauge = 0; gauge < rows.size(); ++gauge)
    if (rows[gauge].visit_rank == 0) others.push_back(gauge);
  const auto much = [&](std::size_t gauge) {
    return rows[gauge].share_missing > kMuchMissing ? rows[gauge].share_missing : 0;
  };
  std::sort(others.begin(), others.end(), [&](std::size_t a, std::size_t b) {
    if (much(a) != much(b)) return much(a) > much(b);
    return network.gauges[a].id < network.gauges[b].id;
  });
  for (const std::size_t gauge : others) {
    GaugeOverview& row = rows[gauge];
    row.visit_rank = ++place;
    row.visit_reason =
        much(gauge) > 0 ? fmt::format("{:.1f} % of the steps are missing", 100 * row.share_missing)
                        : nothing_found(summaries, gauge);
  }
}

}  // namespace

std::vector<GaugeOverview> gauge_overview(const Network& network, const SeriesRecord& record,
                                          std::span<const Finding> findings,
                                          std::span<const Visit> visits,
                                          std::span<const GaugeSummary> summaries) {
  GAUGELOOM_ASSERT(summaries.empty() || summaries.size() == network.size());
  GAUGELOOM_ASSERT(record.observed.gauge_count() == network.size());
  std::vector<GaugeOverview> rows;
  for (std::size_t gauge = 0; gauge < network.size(); ++gauge)
    rows.push_back(overview_of(record, gauge));
  for (const Finding& finding : findings) {
    if (finding.kind == FindingKind::not_testable) continue;
    GaugeOverview& row = rows[finding.gauge];
    ++(finding.tier == Tier::confirmed ? row.confirmed : row.provisional);
  }
  rank(network, findings, visits, summaries, rows);
  return rows;
}

}  // namespace gaugeloom
