#include "support/report_case.hpp"

#include "gaugeloom/fill/held_back.hpp"

namespace gaugeloom::support {
namespace {

constexpr std::size_t kDays = 60;

RainTable faulty(RainTable table) {
  for (std::size_t step = 20 * 24; step < table.step_count(); ++step) table.set(4, step, 0);
  for (std::size_t step = 30 * 24; step < 33 * 24; ++step) table.set_missing(2, step);
  return table;
}

Finding hostile_finding(Instant begin) {
  Finding finding;
  finding.gauge = 1;
  finding.kind = FindingKind::reads_low;
  finding.from = begin + std::chrono::hours(48);
  finding.called = begin + std::chrono::hours(72);
  finding.score = 12.345;
  finding.observed_mm = 10;
  finding.expected_mm = std::numeric_limits<double>::quiet_NaN();
  finding.neighbours = {0, 3};
  finding.reason = kHostileName;
  finding.innocent_explanation = "<img src=x onerror=alert(1)>";
  return finding;
}

Area square(const MetricPoint& corner) {
  Area area;
  area.id = "C1";
  area.name = kHostileName;
  const double side = 15000;
  area.polygon.parts = {{{corner,
                          {corner.x_m + side, corner.y_m},
                          {corner.x_m + side, corner.y_m + side},
                          {corner.x_m, corner.y_m + side}},
                         {}}};
  return area;
}

}  // namespace

ReportCase::ReportCase() {
  SyntheticRainOptions options;
  options.gauges = 9;
  options.steps = kDays * 24;
  options.step = std::chrono::hours(1);
  options.bucket_mm = 0.2;
  options.climate.mean_wait_h = 30;
  const SyntheticRain rain = synthetic_rain(options);
  network = rain.network;
  network.gauges[1].name = kHostileName;
  network.gauges[3].id = "a b\"<i>";
  RainRecord record;
  record.depths = faulty(rain.table);
  CheckOptions check;
  check.keep_evidence = true;
  checked = check_network(network, record, check);
  checked.findings.push_back(hostile_finding(record.depths.axis().span().from));
  checked.evidence.emplace_back();  // none was kept
  visits = visit_order(network, checked, kDays, 1);
  filled = fill_gaps(network, record, checked.quality, {}, held_back(checked.findings));
  storms = find_storms(filled.record);
  rows = storm_gauges(network, filled.record, filled.errors, storms.storms);
  overviews = storm_overviews(rows, network.size());
  areas = {square(network.gauges[0].position)};
  const AreaVariograms variograms =
      learn_area_variograms(network.positions(), filled.record, storms.storms, rows);
  AreaSeries series = area_series(network, filled.record, filled.errors, areas, variograms);
  const std::vector<MetricPoint> positions = network.positions();
  storm_areas =
      gaugeloom::storm_areas(network, filled.record.depth, storms.storms, rows, areas,
                             storm_maps(positions, rows, variograms.maps), variograms, series);
  run.command = "run";
  run.version = "0.0.0";
  run.configuration["gauges"] = {kHostileName};
  run.inputs = {std::string(kHostileName) + " password=secret"};
  run.digests = input_digests(run.inputs);
  run.learned_numbers["checks.blocked.provisional"] = 8;
  run.learned_numbers["checks.blocked.confirmed"] = 12;
}

ReportInput ReportCase::input() const {
  return {.title = kHostileName,
          .network = network,
          .filled = filled,
          .findings = checked.findings,
          .evidence = checked.evidence,
          .visits = visits,
          .summaries = checked.gauges,
          .double_mass = checked.double_mass,
          .storms = storms.storms,
          .storm_gauges = rows,
          .overviews = overviews,
          .areas = areas,
          .storm_areas = storm_areas,
          .run = run,
          .files = {"findings.csv", kHostileName}};
}

const ReportCase& report_case() {
  static const ReportCase one;
  return one;
}

}  // namespace gaugeloom::support
