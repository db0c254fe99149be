#pragma once
// tips.csv: every tip of the input and what became of it. tip_months.csv: the same by month.
// pours.csv: the volumetric checks of buckets.

#include <span>
#include <string>
#include <vector>

#include "gaugeloom/io/atomic_file.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/tips/correct_gauge.hpp"
#include "gaugeloom/tips/correct_network.hpp"

namespace gaugeloom {

struct TipLogOptions {
  bool gzip = false;
  int threads = 0;  // 0 = all cores; same bytes for any number
};

// Writes time,gauge,counter,fate,counted_mm,corrected_mm: the stamps as read, by gauge in the order
// of the network, then by counter, then by time. Depths have six decimals, since a thousandth of a
// mm is half a percent of a tip. corrected_mm is 0 unless the tip was kept.
// Law: what is written reads back (io/tip_reader.hpp) to the same tips.
// Throws: Error{io_failure} naming the file. The caller commits it.
class TipLogWriter {
 public:
  TipLogWriter(AtomicFile& file, const Network& network, std::vector<std::string> counters,
               TipLogOptions options = {});

  // Gauges from row `first` of the network on.
  void write(std::size_t first, std::span<const CorrectedGauge> gauges);
  void finish();

 private:
  struct Part {  // tips [first, last) of a counter
    std::size_t gauge;
    const CounterTips* counter;
    std::size_t first;
    std::size_t last;
  };
  void format(const Part& part, std::string& text) const;

  AtomicFile& file_;
  const Network& network_;
  std::vector<std::string> counters_;
  TipLogOptions options_;
  std::vector<std::string> texts_;  // kept, since touching new memory costs more than the work
};

// Writes gauge,month,correction,tips,kept,bounce,duplicate,test,outside,other_counter,counted_mm,
// corrected_mm,share_to_2_mm_h,share_to_10_mm_h,share_to_50_mm_h,share_above,matched,
// only_usual,only_other,match_rate: the shares of the corrected depth in classes of intensity,
// empty where no intensity is known; the turns that both counters of a bucket saw or one only,
// empty for gauges with one. Throws: Error{io_failure} naming the file. The caller commits it.
void write_tip_months(AtomicFile& file, const CorrectedNetwork& corrected, const Network& network);

// Writes gauge,from,to,depth_mm,max_5min_mm,max_10min_mm,max_15min_mm,max_30min_mm,max_60min_mm:
// the storms of tips/storm_peaks.hpp, by gauge and time; times to the second, from rounded down and
// to up.
// Throws: Error{io_failure} naming the file. The caller commits it.
void write_tip_storms(AtomicFile& file, const CorrectedNetwork& corrected, const Network& network);

// Writes gauge,from,to,counter,poured_ml,poured_mm,tips,bucket_mm,true_mm,low_mm,high_mm,
// error_percent,factor,intensity_mm_h: true_mm per tip with its 90 % band (six decimals), the error
// of the listed bucket against it, and the row that a calibration table would get.
// Throws: Error{io_failure} naming the file. The caller commits it.
void write_pours(AtomicFile& file, std::span<const PourCheck> pours, const Network& network,
                 std::span<const std::string> counters);

}  // namespace gaugeloom
