#pragma once
// The raw tips of a network to its rain, gauge by gauge, so that only a few of them are held at
// once.

#include <array>
#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "gaugeloom/rain/series_record.hpp"
#include "gaugeloom/tips/correct_gauge.hpp"
#include "gaugeloom/tips/counter_rows.hpp"
#include "gaugeloom/tips/pour_check.hpp"
#include "gaugeloom/tips/storm_peaks.hpp"
#include "gaugeloom/tips/tip_months.hpp"
#include "gaugeloom/tips/tip_record.hpp"

namespace gaugeloom {

struct CorrectNetworkOptions {
  CorrectOptions correct;
  std::chrono::seconds step{300};
  std::chrono::minutes day_start{0};  // steps are counted from it
  bool watched = false;               // the counters were alive from correct.judge.from to .to
  int threads = 0;                    // 0 = all cores; the result does not depend on it

  // First broken rule as a sentence, or nothing.
  std::optional<std::string> problem() const;
};

// What there is to say of a gauge.
struct GaugeTotals {
  IntensityCorrection correction = IntensityCorrection::none;
  std::array<std::size_t, kTipFates> tips{};  // by fate
  std::size_t back = 0;                       // written after a later one
  Duration farthest_back{0};
  std::size_t to_the_second = 0;  // tips stamped in whole seconds
  std::size_t to_the_minute = 0;  // in whole minutes
  std::size_t spells_differ = 0;  // that its counters count differently
  std::size_t clocks_set = 0;     // of one counter against the other
  std::size_t held = 0;           // see InflowSeries
  std::size_t beyond_table = 0;
  double counted_mm = 0;
  double corrected_mm = 0;

  std::size_t all_tips() const;
};

struct CorrectedNetwork {
  // observed is what the tips count, depth is corrected for intensity; quality is unchecked or
  // missing; refused depths are those of steps that test tips spoilt.
  SeriesRecord series;
  std::vector<GaugeTotals> gauges;                 // in the order of the network
  std::vector<std::vector<TipMonth>> months;       // of each gauge
  std::vector<std::vector<StormPeaks>> storms;     // likewise
  std::vector<std::vector<CounterRow>> counters;   // likewise
  std::vector<std::vector<BucketFactor>> factors;  // likewise, that pours brought
  std::vector<PourCheck> pours;                    // by gauge, then as in its facts
};

// Corrects every gauge (tips/correct_gauge.hpp) and puts it on the steps of
// tips/corrected_steps.hpp. Where a gauge has several counters its neighbours help to choose
// (tips/tip_hours.hpp). `take` is given a few gauges at a time, in the order of the network,
// with the index of the first.
// Requires: facts.size() == record.gauges.size(). Throws: Error{invalid_option} for
// options.problem(); Error{inconsistent_input} when the table does not fit into memory and disk.
// Cost: linear in tips and steps; 2 x 4 bytes and 2 more per gauge and step.
CorrectedNetwork correct_network(
    TipRecord record, std::span<const GaugeFacts> facts, const CorrectNetworkOptions& options,
    const std::function<void(std::size_t, std::span<const CorrectedGauge>)>& take);

}  // namespace gaugeloom
