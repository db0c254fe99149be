#pragma once
// findings.csv: one row per episode.

#include <span>

#include "gaugeloom/checks/reviewed.hpp"
#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/rain/finding.hpp"
#include "gaugeloom/rain/gauge.hpp"

namespace gaugeloom {

// Columns: finding_id,gauge,from,to,called,finding,tier,score,observed_mm,expected_mm,neighbours,
// reason,innocent_explanation,evidence_hash,decision. Scores have two decimals, depths three; `to`
// is empty while it lasts; neighbours are gauge ids separated by ';'. Rows in the order of
// `findings`. The last two are those of `reviews`, one per finding in the same order, and empty
// without any. Throws: Error{io_failure} naming the file. The caller commits `file`.
void write_findings(AtomicFile& file, std::span<const Finding> findings, const Network& network,
                    std::span<const FindingReview> reviews = {});

}  // namespace gaugeloom
