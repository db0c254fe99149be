#pragma once
// decisions_replayed.csv: what became of every decision.

#include <span>

#include "gaugeloom/checks/reviewed.hpp"
#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/rain/gauge.hpp"

namespace gaugeloom {

// Columns: those of the decisions (io/decision_reader.hpp), then
// outcome,why,finding,tier,score,found_from,
// found_to,observed_mm,expected_mm,found_reason,evidence_hash_now: the finding as the checks found
// it before any decision, so that a rejected one stays on record; but for its kind empty where it
// was not found.
// Throws: Error{io_failure} naming the file. The caller commits `file`.
void write_decisions_replayed(AtomicFile& file, std::span<const ReplayedDecision> decisions,
                              const Network& network);

}  // namespace gaugeloom
