#include "gaugeloom/io/visits_writer.hpp"

#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

void add_place(CsvRows& row, const Gauge& gauge) {
  row.text(gauge.id).text(gauge.name);
  if (gauge.lon_lat)
    row.fixed(gauge.lon_lat->lon_deg, 6).fixed(gauge.lon_lat->lat_deg, 6);
  else
    row.empty().empty();
  row.fixed(gauge.position.x_m, 3).fixed(gauge.position.y_m, 3);
}

}  // namespace

void write_visits(AtomicFile& file, std::span<const Visit> visits,
                  std::span<const Finding> findings, const Network& network) {
  CsvWriter csv(file, {"rank", "gauge", "name", "lon", "lat", "x_m", "y_m", "finding", "tier",
                       "since", "until", "called", "fault_probability", "at_stake_mm", "isolation",
                       "why", "look_first", "caution"});
  long long rank = 0;
  for (const Visit& visit : visits) {
    const Finding& finding = findings[visit.finding];
    CsvRows& row = csv.row();
    row.integer(++rank);
    add_place(row, network.gauges[visit.gauge]);
    row.raw(word(finding.kind)).raw(word(finding.tier)).raw(format_utc(finding.from));
    row.raw(finding.to ? format_utc(*finding.to) : "").raw(format_utc(finding.called));
    row.fixed(visit.fault_probability, 2).fixed(visit.at_stake_mm, 3).fixed(visit.isolation, 2);
    row.text(visit_reason(visit, finding)).text(look_first(finding.kind)).text(visit_caution());
    row.end_row();
  }
  csv.finish();
}

}  // namespace gaugeloom
