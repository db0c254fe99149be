#pragma once
// Reads a reviewer's decisions: CSV finding_id,gauge,from,to,verdict,shift_minutes,reason,by,on,
// evidence_hash, one row each (io/small_table_reader.hpp). Columns beside these are passed over, so
// decisions_replayed.csv of a run is read too.

#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/core/notices.hpp"
#include "gaugeloom/rain/decision.hpp"
#include "gaugeloom/rain/gauge.hpp"

namespace gaugeloom {

// Decisions in the order of the file. finding_id as findings.csv has it: gauge, kind, beginning.
// [from, to) in UTC or with an offset; an empty `to`: until the finding ends. Verdict is accept,
// reject or shift; a shift needs shift_minutes, at most ten years either way and not 0, and only a
// shift may have them. reason, by and on (a date or a time) are needed: others will follow them
// years later. reason and by do not begin with = + - @ or a tab: they go on into files that are
// opened in spreadsheets, which would run them as formulas. evidence_hash may be empty, and columns
// to, shift_minutes and evidence_hash absent. The same row twice counts once. Rows of gauges that
// are not in the network are left out with one notice of their number.
// Throws: as read_small_table; Error{malformed_input} for a field that is not as above;
//         Error{inconsistent_input} for a finding_id of another gauge than the row's, two rows of
//         one finding that differ, `to` not after `from` and, with `strict`, a gauge that is not
//         in the network.
std::vector<Decision> read_decisions(const std::string& path, const Network& network, bool strict,
                                     Notices& notices);
// The same of a text in memory; `name` stands for the file in messages.
std::vector<Decision> parse_decisions(std::string_view text, const std::string& name,
                                      const Network& network, bool strict, Notices& notices);

}  // namespace gaugeloom
