#pragma once
// members.csv: the members of an ensemble, a column each.

#include "gaugeloom/fill/ensemble.hpp"
#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/rain/gauge.hpp"

namespace gaugeloom {

struct MembersWriteOptions {
  bool every_step = false;  // else only those that were estimated: elsewhere members are alike
  bool gzip = false;        // the name of the file is the caller's: members.csv.gz
  int threads = 0;          // 0 = all cores; same bytes for any number
};

// time,gauge,member_1,member_2,...: by time, then in the order of the network. Times are UTC with Z
// and mark the end of the step. Depths in mm with three decimals; missing is an empty field.
//
// Law: what stands in a column is what Ensemble::draw gives.
// Requires:  ensemble and record are of this network.
// Throws:    Error{io_failure} naming the file. The caller commits `file`.
// Memory:    a few blocks of about a million depths per thread, whatever the length of the record.
void write_members(AtomicFile& file, const Ensemble& ensemble, const SeriesRecord& record,
                   const Network& network, const MembersWriteOptions& options = {});

}  // namespace gaugeloom
