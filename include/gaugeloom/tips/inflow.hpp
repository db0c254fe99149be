#pragma once
// The tips of one gauge as inflow of rain: over which time how much fell, as counted and corrected
// for intensity.

#include <chrono>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/tips/calibration_table.hpp"
#include "gaugeloom/tips/judged_tips.hpp"
#include "gaugeloom/tips/tip_loss.hpp"

namespace gaugeloom {

// By what the depth of a gauge is corrected for intensity.
enum class IntensityCorrection : std::uint8_t {
  table,     // its own calibration table
  tip_loss,  // the loss time of a tip
  none,      // a siphon without a table, or not asked for
  declared,  // the series was declared corrected: never twice
};
std::string_view word(IntensityCorrection correction);

struct InflowOptions {
  double loss_time_s = kLossTimeS;
  double funnel_cm2 = 314.159;  // catching area; a funnel of 200 mm (common practice)
  double burst_gap_s = 10;  // tips of one emptying of a siphon follow closer than this; our choice
  std::chrono::minutes longest_spread{30};  // a longer time between tips says nothing of the course

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

// `counted_mm` fell evenly over (from, to], or on an unknown course until `to` where from == to.
struct Inflow {
  Instant from;
  Instant to;
  std::size_t tips = 0;     // of the kept ones, in their order
  double counted_mm = 0;    // tips times bucket
  double corrected_mm = 0;  // for intensity
  double by_pours_mm = 0;   // of corrected_mm, more or less than by intensity alone
  double rate_mm_h = 0;     // corrected; NaN where nothing is known of when it began to fall
};

// Whether tips of this gauge come in bursts: its siphon holds more than its bucket.
bool has_bursts(const Gauge& gauge, const InflowOptions& options);

struct InflowSeries {
  IntensityCorrection correction = IntensityCorrection::none;
  std::vector<Inflow> inflows;   // by time; intervals do not overlap
  std::size_t held = 0;          // tips so close that the factor of the record rain was used
  std::size_t beyond_table = 0;  // tips whose intensity lies beyond the ends of the table
};

// Turns the kept tips of a gauge into inflow.
//
//   rows        what the gauge was when: one row, or its history by time; each tip takes the bucket
//               of the row that was open
//   table       its calibration, if it has one
//   correction  what to do; `table` needs a table
//
// A tip is the bucket filled since the tip before. The first tip, the first after test tips, and
// one that came more than longest_spread after the one before stand at their own time. Where
// stamps are whole seconds the time since the tip before is known to a second only; the intensity
// is then the mean of five tips, of those that cannot be told apart from this one.
//
// A gauge whose siphon_ml is more than the volume of its bucket hands its water on in bursts, tip
// after tip at the rate of the siphon: tips that follow each other within twice the median of the
// times below burst_gap_s, for a minute at most. A burst is one inflow over (begin of the burst
// before, begin of this one], since the chamber was full when it began, and its intensity is that
// of this whole time: the rate inside is the siphon's, not the rain's. The loss time says nothing
// of a siphon, so it is corrected by a table or not at all.
//
// Laws (each one is a test): (1) tips add up to the kept ones, and counted_mm to tips times bucket;
//   (2) with `declared` and `none` corrected_mm equals counted_mm.
// Throws: Error{invalid_option} for options.problem(). Requires: rows not empty. Cost: one pass.
InflowSeries inflow_of_tips(const JudgedTips& tips, std::span<const Gauge> rows,
                            const CalibrationTable* table, IntensityCorrection correction,
                            const InflowOptions& options = {});

}  // namespace gaugeloom
