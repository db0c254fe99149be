#include "gaugeloom/checks/gauge_overview.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include <fmt/format.h>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

constexpr double kMuchMissing = 0.1;  // our choice: a tenth of the record

enum class Urgency { lasting, confirmed, provisional, missing, none };

struct VisitCase {
  Urgency urgency = Urgency::none;
  double at_stake_mm = 0;
  const Finding* worst = nullptr;  // of the urgency; the one with most rain at stake
};

double at_stake(const Finding& finding) {
  const double difference = std::abs(finding.expected_mm - finding.observed_mm);
  return std::isfinite(difference) ? difference : 0;
}

Urgency urgency_of(const Finding& finding) {
  if (finding.tier == Tier::provisional) return Urgency::provisional;
  return finding.to ? Urgency::confirmed : Urgency::lasting;
}

bool comes_before(const Finding& a, const Finding& b) {
  if (at_stake(a) != at_stake(b)) return at_stake(a) > at_stake(b);
  if (a.from != b.from) return a.from < b.from;
  return a.kind < b.kind;
}

void add_finding(VisitCase& visit, const Finding& finding) {
  const Urgency urgency = urgency_of(finding);
  if (visit.worst == nullptr || urgency < visit.urgency ||
      (urgency == visit.urgency && comes_before(finding, *visit.worst)))
    visit.worst = &finding;
  visit.urgency = std::min(visit.urgency, urgency);
}

std::string reason_of(const VisitCase& visit, double share_missing) {
  if (visit.worst != nullptr) {
    const Finding& finding = *visit.worst;
    const std::string when =
        finding.to ? fmt::format("{} to {}", format_utc(finding.from), format_utc(*finding.to))
                   : fmt::format("{} and lasting", format_utc(finding.from));
    return fmt::format("{} {}, {}", word(finding.tier), word(finding.kind), when);
  }
  if (visit.urgency == Urgency::missing)
    return fmt::format("{:.1f} % of the steps are missing", 100 * share_missing);
  return "nothing found";
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

void rank_visits(const Network& network, std::vector<VisitCase>& visits,
                 std::vector<GaugeOverview>& rows) {
  std::vector<std::size_t> order(rows.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    if (visits[a].urgency != visits[b].urgency) return visits[a].urgency < visits[b].urgency;
    if (visits[a].at_stake_mm != visits[b].at_stake_mm)
      return visits[a].at_stake_mm > visits[b].at_stake_mm;
    if (rows[a].share_missing != rows[b].share_missing)
      return rows[a].share_missing > rows[b].share_missing;
    return network.gauges[a].id < network.gauges[b].id;
  });
  for (std::size_t place = 0; place < order.size(); ++place) {
    GaugeOverview& row = rows[order[place]];
    row.visit_rank = place + 1;
    row.visit_reason = reason_of(visits[order[place]], row.share_missing);
  }
}

}  // namespace

std::vector<GaugeOverview> gauge_overview(const Network& network, const SeriesRecord& record,
                                          std::span<const Finding> findings) {
  GAUGELOOM_ASSERT(record.observed.gauge_count() == network.size());
  std::vector<GaugeOverview> rows;
  for (std::size_t gauge = 0; gauge < network.size(); ++gauge)
    rows.push_back(overview_of(record, gauge));
  std::vector<const Finding*> sorted;
  for (const Finding& finding : findings)
    if (finding.kind != FindingKind::not_testable) sorted.push_back(&finding);
  std::sort(sorted.begin(), sorted.end(),
            [](const Finding* a, const Finding* b) { return comes_before(*a, *b); });
  std::vector<VisitCase> visits(network.size());
  for (const Finding* finding : sorted) {
    add_finding(visits[finding->gauge], *finding);
    visits[finding->gauge].at_stake_mm += at_stake(*finding);
    GaugeOverview& row = rows[finding->gauge];
    ++(finding->tier == Tier::confirmed ? row.confirmed : row.provisional);
  }
  for (std::size_t gauge = 0; gauge < rows.size(); ++gauge)
    if (visits[gauge].urgency == Urgency::none && rows[gauge].share_missing > kMuchMissing)
      visits[gauge].urgency = Urgency::missing;
  rank_visits(network, visits, rows);
  return rows;
}

}  // namespace gaugeloom
