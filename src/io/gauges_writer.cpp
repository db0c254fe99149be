#include "gaugeloom/io/gauges_writer.hpp"

#include "gaugeloom/io/csv_writer.hpp"

namespace gaugeloom {
namespace {

void add_summary(CsvRows& row, const GaugeSummary& summary) {
  row.fixed(summary.share_testable, 4)
      .integer(static_cast<long long>(summary.neighbours))
      .fixed(summary.site_ratio, 4);
}

}  // namespace

void write_gauges(AtomicFile& file, const Network& network,
                  std::span<const GaugeOverview> overviews,
                  std::span<const GaugeSummary> summaries) {
  CsvWriter csv(file, {"gauge", "name", "observed_mm", "expected_mm", "total_mm", "share_missing",
                       "share_estimated", "share_testable", "neighbours", "site_ratio", "confirmed",
                       "provisional", "smallest_block_mm", "smallest_step_percent", "visit_rank",
                       "visit_reason"});
  for (std::size_t gauge = 0; gauge < network.size(); ++gauge) {
    const GaugeOverview& overview = overviews[gauge];
    const bool checked = !summaries.empty();
    CsvRows& row = csv.row();
    row.text(network.gauges[gauge].id).text(network.gauges[gauge].name);
    row.fixed(overview.observed_mm, 3);
    checked ? row.fixed(summaries[gauge].expected_mm, 3) : row.empty();
    row.fixed(overview.total_mm, 3);
    row.fixed(overview.share_missing, 4).fixed(overview.share_estimated, 4);
    if (checked)
      add_summary(row, summaries[gauge]);
    else
      row.empty().empty().empty();
    row.integer(static_cast<long long>(overview.confirmed));
    row.integer(static_cast<long long>(overview.provisional));
    if (checked)
      row.fixed(summaries[gauge].smallest_block_mm, 3)
          .fixed(summaries[gauge].smallest_step_percent, 1);
    else
      row.empty().empty();
    row.integer(static_cast<long long>(overview.visit_rank)).text(overview.visit_reason);
    row.end_row();
  }
  csv.finish();
}

}  // namespace gaugeloom
