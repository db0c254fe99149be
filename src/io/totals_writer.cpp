#include "gaugeloom/io/totals_writer.hpp"

#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

std::string period_text(const ReportingTotal& total) {
  if (total.period == ReportingPeriod::window)
    return format_duration(floor<std::chrono::seconds>(total.over.length()));
  return std::string(word(total.period));
}

}  // namespace

void write_totals(AtomicFile& file, std::span<const ReportingTotal> totals,
                  const Network& network) {
  CsvWriter csv(file, {"gauge", "period", "from", "to", "total_mm", "low_mm", "high_mm",
                       "share_missing", "share_estimated"});
  for (const ReportingTotal& total : totals) {
    CsvRows& row = csv.row();
    row.text(network.gauges[total.gauge].id).raw(period_text(total));
    row.raw(format_utc(total.over.from)).raw(format_utc(total.over.to));
    row.fixed(total.depth_mm, 3).fixed(total.low_mm, 3).fixed(total.high_mm, 3);
    row.fixed(total.share_missing, 4).fixed(total.share_estimated, 4);
    row.end_row();
  }
  csv.finish();
}

}  // namespace gaugeloom
