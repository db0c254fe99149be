#pragma once
// changes.csv: what is new since the last run.

#include <span>

#include "gaugeloom/checks/finding_changes.hpp"
#include "gaugeloom/io/atomic_file.hpp"

namespace gaugeloom {

// Columns: finding_id,gauge,finding,change,sentence. Throws: Error{io_failure} naming the file. The
// caller commits `file`.
void write_changes(AtomicFile& file, std::span<const FindingChange> changes);

}  // namespace gaugeloom
