#pragma once
// counters.csv: what the counters of gauges say of each other and of their clocks, in plain words.

#include <span>
#include <string>

#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/tips/correct_network.hpp"

namespace gaugeloom {

// Writes gauge,what,from,to,usual,other,believed,tips_usual,tips_other,matched,match_rate,
// expected_tips,clock_s,meaning: the rows of tips/counter_rows.hpp by gauge and time. `what` is
// month, the reason of a spell (dead_link, counts_twice, neighbours, undecided), clock_set or
// set_back; clock_s by how much the other clock is ahead of the usual one, or went forward. Times
// to the second, from rounded down and to up. Fields that mean nothing are empty. Throws:
// Error{io_failure} naming the file. The caller commits it.
void write_counters(AtomicFile& file, const CorrectedNetwork& corrected, const Network& network,
                    std::span<const std::string> counters);

}  // namespace gaugeloom
