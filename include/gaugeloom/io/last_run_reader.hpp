#pragma once
// Reads what an earlier run told: findings.csv and decisions_replayed.csv in its folder.

#include <string>
#include <vector>

#include "gaugeloom/checks/finding_changes.hpp"

namespace gaugeloom {

// The files of `folder` that are read: findings.csv, and decisions_replayed.csv when it is there.
std::vector<std::string> last_run_files(const std::string& folder);

// Throws: Error{io_failure} when there is no findings.csv; Error{malformed_input} as
//         read_small_table, and for a column or word that is not of ours.
Told read_last_run(const std::string& folder);

}  // namespace gaugeloom
