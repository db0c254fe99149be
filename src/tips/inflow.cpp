#include "gaugeloom/tips/inflow.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "gaugeloom/tips/bucket_in_time.hpp"

namespace gaugeloom {
namespace {

constexpr std::array<std::string_view, 4> kCorrectionWords = {"table", "tip_loss", "none",
                                                              "declared"};
constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
constexpr std::size_t kMeanOver = 2;   // tips on either side of one with a coarse stamp
constexpr double kAlikeS = 2;          // times between tips this near are alike to the second
constexpr double kLongestBurstS = 60;  // our choice: longer ones would blur the course of the rain

double seconds_between(Instant from, Instant to) {
  return 1e-6 * static_cast<double>((to - from).count());
}

// One kept tip; `between_s` since the one before, NaN when that is unknown.
struct Tip {
  Instant time;
  double between_s = kUnknown;
  double bucket_mm = 0;
  bool to_the_second = false;
};

std::vector<Tip> kept_tips(const JudgedTips& judged, std::span<const Gauge> rows) {
  std::vector<Tip> tips;
  tips.reserve(judged.times.size());
  BucketInTime bucket(rows);
  bool disturbed = true;
  for (const StampRun& run : judged.runs) {
    for (std::size_t i = run.first; i < run.last; ++i) {
      if (judged.fates[i] == TipFate::test) disturbed = true;
      if (judged.fates[i] != TipFate::kept) continue;
      Tip tip{judged.times[i], kUnknown, bucket.mm(judged.times[i]),
              run.resolution == std::chrono::seconds{1}};
      if (!disturbed) tip.between_s = seconds_between(tips.back().time, tip.time);
      disturbed = false;
      tips.push_back(tip);
    }
  }
  return tips;
}

// Mean of the times of up to kMeanOver tips on either side that are alike to the second.
double mean_between_s(std::span<const Tip> tips, std::size_t i) {
  const double own = tips[i].between_s;
  double sum = own;
  int count = 1;
  const auto take = [&](const Tip& tip) {
    if (!tip.to_the_second || !(std::abs(tip.between_s - own) <= kAlikeS)) return false;
    sum += tip.between_s;
    ++count;
    return true;
  };
  for (std::size_t j = 1; j <= kMeanOver && j <= i && take(tips[i - j]); ++j) continue;
  for (std::size_t j = 1; j <= kMeanOver && i + j < tips.size() && take(tips[i + j]); ++j) continue;
  return sum / count;
}

class Correction {
 public:
  Correction(InflowSeries& series, const CalibrationTable* table, const InflowOptions& options)
      : series_(series), table_(table), options_(options) {}

  void add(const Inflow& uncorrected, double bucket_mm, double filling_s) {
    Inflow inflow = uncorrected;
    inflow.corrected_mm = inflow.counted_mm * factor(inflow, bucket_mm, filling_s);
    inflow.rate_mm_h = 3600 * inflow.corrected_mm / filling_s;
    series_.inflows.push_back(inflow);
  }

 private:
  double factor(const Inflow& inflow, double bucket_mm, double filling_s) {
    if (std::isnan(filling_s)) return 1;
    if (series_.correction == IntensityCorrection::table) {
      const double indicated_mm_h = 3600 * inflow.counted_mm / filling_s;
      if (!table_->reaches(indicated_mm_h)) series_.beyond_table += inflow.tips;
      return table_->factor(indicated_mm_h);
    }
    if (series_.correction == IntensityCorrection::tip_loss) {
      if (filling_s < least_tip_interval_s(bucket_mm, options_.loss_time_s))
        series_.held += inflow.tips;
      return tip_loss_factor(filling_s, bucket_mm, options_.loss_time_s);
    }
    return 1;
  }

  InflowSeries& series_;
  const CalibrationTable* table_;
  const InflowOptions& options_;
};

// Where an inflow begins that took `filling_s` until `to`.
Instant begin_of(Instant before, Instant to, double filling_s, const InflowOptions& options) {
  const double longest_s = 60 * static_cast<double>(options.longest_spread.count());
  return filling_s <= longest_s ? before : to;  // not for NaN
}

void add_tips(std::span<const Tip> tips, Correction& correction, const InflowOptions& options) {
  for (std::size_t i = 0; i < tips.size(); ++i) {
    const Tip& tip = tips[i];
    const Instant before = i == 0 ? tip.time : tips[i - 1].time;
    Inflow inflow;
    inflow.from = begin_of(before, tip.time, tip.between_s, options);
    inflow.to = tip.time;
    inflow.tips = 1;
    inflow.counted_mm = tip.bucket_mm;
    const double filling_s = tip.to_the_second ? mean_between_s(tips, i) : tip.between_s;
    correction.add(inflow, tip.bucket_mm, filling_s);
  }
}

// Longest time between two tips of one burst.
double burst_gap_s(std::span<const Tip> tips, const InflowOptions& options) {
  std::vector<double> short_s;
  for (const Tip& tip : tips)
    if (tip.between_s < options.burst_gap_s) short_s.push_back(tip.between_s);
  if (short_s.empty()) return 0;
  const auto middle = short_s.begin() + static_cast<std::ptrdiff_t>(short_s.size() / 2);
  std::nth_element(short_s.begin(), middle, short_s.end());
  return std::min(options.burst_gap_s, 2 * *middle);
}

void add_bursts(std::span<const Tip> tips, Correction& correction, const InflowOptions& options) {
  const double gap_s = burst_gap_s(tips, options);
  Instant before{};
  for (std::size_t first = 0, last = 0; first < tips.size(); first = last) {
    Inflow burst;
    burst.to = tips[first].time;
    for (last = first; last < tips.size(); ++last) {
      const bool follows = tips[last].between_s <= gap_s &&
                           seconds_between(burst.to, tips[last].time) <= kLongestBurstS;
      if (last > first && !follows) break;
      burst.counted_mm += tips[last].bucket_mm;
    }
    burst.tips = last - first;
    const double filling_s =
        std::isnan(tips[first].between_s) ? kUnknown : seconds_between(before, burst.to);
    burst.from = begin_of(before, burst.to, filling_s, options);
    correction.add(burst, tips[first].bucket_mm, filling_s);
    before = burst.to;
  }
}

}  // namespace

std::string_view word(IntensityCorrection correction) {
  return kCorrectionWords[static_cast<std::size_t>(correction)];
}

bool has_bursts(const Gauge& gauge, const InflowOptions& options) {
  const double bucket_ml = gauge.bucket_mm * options.funnel_cm2 / 10;
  return gauge.siphon_ml.value_or(0) > bucket_ml;
}

std::optional<std::string> InflowOptions::problem() const {
  if (!(loss_time_s >= 0 && loss_time_s <= 1)) return "--loss-time-s must be from 0 to 1";
  if (!(funnel_cm2 >= 10 && funnel_cm2 <= 10000)) return "--funnel-cm2 must be from 10 to 10000";
  if (!(burst_gap_s >= 1 && burst_gap_s <= 60)) return "--burst-gap-s must be from 1 to 60";
  if (longest_spread.count() < 1) return "the longest time between tips must be 1 min or more";
  return std::nullopt;
}

InflowSeries inflow_of_tips(const JudgedTips& tips, std::span<const Gauge> rows,
                            const CalibrationTable* table, IntensityCorrection correction,
                            const InflowOptions& options) {
  if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
  GAUGELOOM_ASSERT(!rows.empty());
  GAUGELOOM_ASSERT(correction != IntensityCorrection::table || table != nullptr);
  const std::vector<Tip> kept = kept_tips(tips, rows);
  InflowSeries series;
  series.correction = correction;
  series.inflows.reserve(kept.size());
  Correction correct(series, table, options);
  if (has_bursts(rows.back(), options))
    add_bursts(kept, correct, options);
  else
    add_tips(kept, correct, options);
  return series;
}

}  // namespace gaugeloom
