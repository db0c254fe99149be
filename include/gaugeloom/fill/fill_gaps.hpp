#pragma once
// Fills what is missing or condemned in the record of a network from what is known, in this order
// of evidence: a measured total over the gap, the neighbours, or nothing.
// Sources: J. L. H. Paulhus and M. A. Kohler, Interpolation of missing precipitation records, Mon.
// Weather Rev. 80 (1952), for the site ratio; T. Lebel et al., Water Resour. Res. 23 (1987), for
// the scaled variogram. The two-scale form (amount on the raw scale, course on square roots) and
// the bands learned from leave-one-out are our choice.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/fill/duration_errors.hpp"
#include "gaugeloom/fill/held_back.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/quality.hpp"
#include "gaugeloom/rain/rain_record.hpp"
#include "gaugeloom/rain/series_record.hpp"
#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

// Which measured values give way to estimates. Missing steps are always filled.
enum class Replace {
  none,         // none
  confirmed,    // poor: under a confirmed finding
  provisional,  // poor and suspect
};
std::string_view word(Replace replace);
std::optional<Replace> parse_replace(std::string_view text);

struct FillOptions {
  Replace replace = Replace::confirmed;
  int neighbours = 16;           // nearest usable gauges per estimate; 3 to 64
  int threads = 0;               // 0 = all cores; the result does not depend on it
  double max_lone_side_km = 60;  // farther than this, neighbours all in one quadrant are refused
  bool whole_tips = false;       // estimates in whole buckets, as the gauge would have read them
  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

// How a step is estimated from its neighbours.
enum class FillMethod : std::uint8_t {
  inverse_distance,     // power 2, on depths
  kriging,              // ordinary kriging of depths
  kriging_square_root,  // amount by kriging of depths, its course by kriging of square roots
};
std::string_view word(FillMethod method);

// Why a step was not estimated.
enum class Refusal : std::uint8_t {
  few_neighbours,   // fewer than 3 usable neighbours at that time
  one_sided,        // all in one quadrant, and the nearest beyond max_lone_side_km
  no_skill,         // leave-one-out there does no better than the gauge's own mean
  nothing_learned,  // too little rain in the record to learn how wrong an estimate would be
};
std::string_view word(Refusal refusal);
// One plain sentence.
std::string_view sentence(Refusal refusal);

// A run of steps that was asked for and not estimated.
struct RefusedSpan {
  std::size_t gauge = 0;
  Interval over;
  std::size_t steps = 0;
  Refusal why = Refusal::few_neighbours;
};

// What became of an accumulated total.
enum class TotalFate : std::uint8_t {
  spread,           // over its steps, in the course of the neighbours
  left_where_read,  // the neighbours were dry or silent: all of it stands in its last step
  not_used,         // it leaves the record, cuts a step, or meets measured steps or another total
};
struct SpreadTotal {
  std::size_t total = 0;  // index in RainRecord::totals
  TotalFate fate = TotalFate::not_used;
};

// What became of the water of a spell that ended in a release burst.
struct RecoveredWater {
  std::size_t gauge = 0;
  Interval over;
  double read_mm = 0;    // what the gauge read over it, the burst included
  double filled_mm = 0;  // what the series holds over it now; NaN when a step stayed missing
  // Its own water was laid on the spell; false: it was less than the neighbours allow, so the
  // funnel had spilled, and the neighbours alone speak.
  bool put_back = false;
};

struct GaugeFill {
  std::size_t filled = 0;      // steps estimated from the neighbours
  std::size_t spread = 0;      // steps that carry part of an accumulated total
  std::size_t refused = 0;     // steps asked for and not estimated
  double filled_mm = 0;        // what the filled steps hold
  double site_ratio = 1;       // this gauge over its surroundings; 1 when not used
  double hourly_error_mm = 0;  // leave-one-out RMSE of depths over 1 h (or a step, if longer),
                               // over wet ones; NaN when never both measured and estimated
  double skill = 0;            // 1 - its mean square error / the gauge's variance; NaN likewise
  std::optional<Interval> worst_gap;  // the longest run of filled or refused steps
};

// Leave-one-out over hours (or steps, if longer) of all gauges, after everything the method does.
// The smallest rmse_mm wins; where two are within 0.1 %, the smaller step_rmse_mm.
struct MethodScore {
  FillMethod method = FillMethod::inverse_distance;
  bool site_ratio = false;
  double rmse_mm = 0;       // at that duration
  double step_rmse_mm = 0;  // at the native step
};

// How the estimates of this network are made, and how good they are under leave-one-out.
struct FillPlan {
  FillMethod method = FillMethod::inverse_distance;
  bool site_ratio = false;
  bool learned = false;         // false: too little rain; the rest is then default or NaN
  double variogram_nugget = 0;  // of a sill of 1; exponential
  double variogram_range_m = 0;
  double mean_correction = 1;       // measured over estimated, before the mean by size is put right
  double wet_threshold = 0;         // dry below it: square root of mm, on the square-root estimate
  std::vector<MethodScore> scores;  // every method that was tried, in a fixed order
  double nearest_rmse_mm = 0;       // the same score for the nearest usable gauge,
  double plain_inverse_rmse_mm = 0;  // and for plain inverse distance, power 2
  double bias = 0;                   // sum of estimates / sum of measured - 1, over whole hours
  double wet_ratio = 0;              // wet steps estimated / measured
  double hourly_coverage = 0;        // share of measured hourly depths within their 90 % band,
  double daily_coverage = 0;         // and daily ones, where the estimate is wet
};

struct FillResult {
  SeriesRecord record;
  std::vector<GaugeFill> gauges;          // one per gauge
  std::vector<RefusedSpan> refusals;      // by gauge, then by time
  std::vector<SpreadTotal> totals;        // one per accumulated total, in their order
  std::vector<RecoveredWater> recovered;  // by gauge, then by time; spells that were replaced
  FillPlan plan;
  DurationErrors errors;  // for totals: see fill/reporting_totals.hpp
};

// Fills the record.
//
//   network  n gauges in a metric CRS
//   rain     depths of the n gauges and accumulated totals; missing is NaN
//   quality  one per gauge and step, as the checks left it; `missing` exactly where depths are.
//            `poor` steps never feed an estimate; `suspect` ones only where fewer than 3 others do
//   held     spells that ended in a release burst. Where every step of one gives way to estimates,
//            what was read over it is its measured total, as long as it is no less than the 5 %
//            bound of what the neighbours lead us to expect; a funnel that held less had spilled
//
// Laws (each one is a test):
//   (1) observed is rain.depths, bit for bit; a measured step that is not replaced is its depth;
//   (2) the steps of a spread total, or of water put back, add up to it exactly, in thousandths;
//   (3) every depth that was estimated is a whole number of thousandths of a mm and lies in its
//       band; quality is estimate and origin neighbours or spread_total;
//       With whole_tips it is a multiple of the bucket, but for one step of each total;
//   (4) a poor step that cannot be estimated keeps its measured depth and stays poor; a missing
//       one stays missing;
//   (5) the order of the gauges does not matter; nor does the number of threads.
//
// Requires:  as many rows as gauges and one step axis throughout.
// Throws:    Error{invalid_option} if options.problem() has one, or the sizes differ.
// Cost:      gauges x steps x neighbours, a few times over, and one small solve per gauge and set
//            of usable neighbours. Memory: about 40 bytes per gauge and step.
FillResult fill_gaps(const Network& network, const RainRecord& rain, const QualityTable& quality,
                     const FillOptions& options = {}, std::span<const HeldBack> held = {});

}  // namespace gaugeloom
