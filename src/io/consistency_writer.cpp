#include "gaugeloom/io/consistency_writer.hpp"

#include "gaugeloom/io/csv_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {

void write_consistency(AtomicFile& file, std::span<const ConsistencyRow> rows,
                       const Network& network) {
  CsvWriter csv(file,
                {"gauge", "window", "from", "to", "observed_mm", "expected_mm", "low_mm", "high_mm",
                 "p_low", "p_high", "neighbours", "share_measured", "combined_p", "driven_by"});
  for (const ConsistencyRow& r : rows) {
    CsvRows& row = csv.row();
    row.text(network.gauges[r.gauge].id).raw(word(r.window));
    row.raw(format_utc(r.over.from)).raw(format_utc(r.over.to));
    row.fixed(r.observed_mm, 3).fixed(r.expected_mm, 3).fixed(r.low_mm, 3).fixed(r.high_mm, 3);
    row.fixed(r.p_low, 6).fixed(r.p_high, 6).integer(static_cast<long long>(r.neighbours));
    row.fixed(r.share_measured, 2).fixed(r.combined_p, 6).raw(word(r.driven_by));
    row.end_row();
  }
  csv.finish();
}

}  // namespace gaugeloom
