#include "gaugeloom/io/fill_gauges_writer.hpp"

#include <chrono>

#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

std::vector<double> recovered_mm(const FillResult& filled) {
  std::vector<double> depths(filled.gauges.size(), 0);
  for (const RecoveredWater& water : filled.recovered)
    if (water.put_back) depths[water.gauge] += water.read_mm;
  return depths;
}

void add_worst_gap(CsvRows& row, const GaugeFill& gauge) {
  if (!gauge.worst_gap) {
    row.empty().empty().empty();
    return;
  }
  const Interval& gap = *gauge.worst_gap;
  row.raw(format_utc(gap.from)).raw(format_utc(gap.to));
  row.fixed(std::chrono::duration<double, std::ratio<3600>>(gap.length()).count(), 2);
}

}  // namespace

void write_fill_gauges(AtomicFile& file, const FillResult& filled, const Network& network) {
  CsvWriter csv(file, {"gauge", "share_neighbours", "share_total", "share_refused", "filled_mm",
                       "method", "site_ratio", "hourly_error_mm", "skill", "worst_gap_from",
                       "worst_gap_to", "worst_gap_hours", "recovered_mm"});
  const std::vector<double> recovered = recovered_mm(filled);
  const auto steps = static_cast<double>(filled.record.observed.step_count());
  for (std::size_t g = 0; g < network.size(); ++g) {
    const GaugeFill& gauge = filled.gauges[g];
    CsvRows& row = csv.row();
    row.text(network.gauges[g].id);
    for (const std::size_t count : {gauge.filled, gauge.spread, gauge.refused})
      row.fixed(static_cast<double>(count) / steps, 4);
    row.fixed(gauge.filled_mm, 3).raw(word(filled.plan.method)).fixed(gauge.site_ratio, 4);
    row.fixed(gauge.hourly_error_mm, 3).fixed(gauge.skill, 4);
    add_worst_gap(row, gauge);
    row.fixed(recovered[g], 3);
    row.end_row();
  }
  csv.finish();
}

}  // namespace gaugeloom
