#include "gaugeloom/io/changes_writer.hpp"

#include "gaugeloom/io/csv_writer.hpp"

namespace gaugeloom {

void write_changes(AtomicFile& file, std::span<const FindingChange> changes) {
  CsvWriter csv(file, {"finding_id", "gauge", "finding", "change", "sentence"});
  for (const FindingChange& one : changes)
    csv.row()
        .text(one.finding_id)
        .text(one.gauge)
        .raw(word(one.kind))
        .raw(word(one.change))
        .text(one.sentence)
        .end_row();
  csv.finish();
}

}  // namespace gaugeloom
