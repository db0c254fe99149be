#pragma once
// rain.csv: the series of a network, long or wide.

#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/series_record.hpp"

namespace gaugeloom {

struct RainWriteOptions {
  bool gzip = false;  // the name of the file is the caller's: rain.csv.gz
  bool wide = false;  // time,<gauge>,...: depths only
  int threads = 0;    // 0 = all cores; same bytes for any number
};

// Writes every step of every gauge, by time, then in the order of the network. Times are UTC with Z
// and mark the end of the step. Depths have three decimals; missing is an empty field.
//
// Long: time,gauge,depth_mm,quality,origin,observed_mm,low_mm,high_mm,standard_error_mm.
// Law: what is written reads back (io/rain_reader.hpp) to the depths rounded to three decimals.
// Requires:  record.observed.gauge_count() == network.size().
// Throws:    Error{io_failure} naming the file. The caller commits `file`.
void write_rain(AtomicFile& file, const SeriesRecord& record, const Network& network,
                const RainWriteOptions& options = {});

}  // namespace gaugeloom
