#include "checks/calibration_series_internal.hpp"
#include "checks/dial_internal.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "checks/finding_text_internal.hpp"
#include "gaugeloom/core/hash.hpp"
#include "gaugeloom/core/parallel.hpp"

namespace gaugeloom {
namespace {

constexpr double kLeastExpectedMm = 1;
constexpr double kMostStandardised = 2.5;
constexpr std::size_t kDaysAround = 21;
constexpr double kLeastSeasonVariance = 0.0004;  // 2 %: no site is quite the same all year; our
constexpr double kMostSeasonVariance = 0.04;     // choice
constexpr std::size_t kMixedSeries = 4000;       // over the network
constexpr double kWandering = 1.15;  // measured: upper tenth of healthy gauges over mixed days, on
                                     // 240 synthetic gauges of two years
constexpr std::size_t kCoefficients = 6;

struct Judged {
  std::size_t day = 0;
  RatioSample sample;
};

std::vector<Judged> judged_days(const CheckContext& context, const BlockSums& speaking,
                                std::size_t gauge) {
  std::vector<Judged> days;
  const double bucket_mm = context.network.gauges[gauge].bucket_mm;
  const auto row = context.days.row(gauge);
  for (std::size_t day = 0; day < row.size(); ++day) {
    const auto sample = ratio_among_neighbours(row[day], speaking, context.around,
                                               context.site_ratio, bucket_mm, gauge, day);
    if (sample && sample->expected_mm >= kLeastExpectedMm) days.push_back({day, *sample});
  }
  return days;
}

// Quarters of the year, counted from the beginning of the record so that its dates do not matter.
std::size_t season_of(std::size_t day) {
  return static_cast<std::size_t>(static_cast<double>(day) / (365.25 / kSeasons)) % kSeasons;
}

double median(std::vector<double> values) {
  if (values.empty()) return 0;
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

// The median of each value's kDaysAround nearest in order, itself among them.
std::vector<double> running_median(std::span<const RatioPoint> series) {
  std::vector<double> middles;
  const std::size_t width = std::min(kDaysAround, series.size());
  for (std::size_t i = 0; i < series.size(); ++i) {
    const std::size_t first = std::min(i - std::min(i, width / 2), series.size() - width);
    std::vector<double> values;
    for (std::size_t j = first; j < first + width; ++j) values.push_back(series[j].value);
    middles.push_back(median(std::move(values)));
  }
  return middles;
}

RatioSeries series_of(const std::vector<Judged>& days, const RatioLaw& law) {
  RatioSeries series;
  for (const Judged& d : days) {
    const RatioSample& s = d.sample;
    series.push_back({static_cast<double>(d.day), season_of(d.day),
                      s.log_ratio - law.mean(s.expected_mm, s.patchiness),
                      1 / law.variance(s.expected_mm, s.patchiness)});
  }
  return series;
}

// Scores of the series, and of the series with their days mixed.
struct Scores {
  std::vector<double> real;
  std::vector<double> mixed;
};

Scores scores_of(const CheckContext& context, const std::vector<RatioSeries>& all,
                 ChangeShape shape, const CalibrationLaw& law) {
  const std::size_t each = std::clamp<std::size_t>(kMixedSeries / all.size(), 4, 200);
  std::vector<Scores> of(all.size());
  parallel_for(all.size(), context.options.threads, [&](std::size_t gauge) {
    const RatioSeries& series = all[gauge];
    const ChangeOptions options = law.options(series);
    if (series.size() < 2 * options.least_side) return;
    of[gauge].real.push_back(best_change(series, shape, options).score);
    const RatioSeries plain = without_changes(series, options);
    const std::uint64_t id = hash_bytes(context.network.gauges[gauge].id);
    for (std::size_t i = 0; i < each; ++i) {
      const auto mixed = permuted_within_season(plain, mix_bits(id + i));
      of[gauge].mixed.push_back(best_change(mixed, shape, options).score);
    }
  });
  Scores out;
  for (const Scores& s : of) {
    out.real.insert(out.real.end(), s.real.begin(), s.real.end());
    out.mixed.insert(out.mixed.end(), s.mixed.begin(), s.mixed.end());
  }
  return out;
}

LearnedThreshold learned_level(const CheckContext& context, FindingKind kind, Scores scores) {
  const double middle = median(scores.mixed);
  const double inflation =
      middle > 0 ? std::max(kWandering, median(scores.real) / middle) : kWandering;
  for (double& score : scores.mixed) score *= inflation;
  const double times = scores.real.empty() ? 1
                                           : static_cast<double>(scores.mixed.size()) /
                                                 static_cast<double>(scores.real.size());
  const PeakTail tail{
      .base = inflation * middle + 1, .prior_scale = 1, .prior_peaks = 20, .least = 4, .most = 20};
  return dialled_threshold(context, kind, std::move(scores.mixed), context.gauge_years * times,
                           tail, 1);
}

CalibrationLaw thawed(const LearnedThreshold& step, const LearnedThreshold& drift) {
  std::array<double, kCoefficients> coefficients{};
  std::copy_n(step.scales.begin(), kCoefficients, coefficients.begin());
  return {RatioLaw(coefficients), step.scales[kCoefficients], step, drift};
}

RatioLaw learned_ratios(const CheckContext& context) {
  std::vector<std::vector<Judged>> days(context.network.size());
  parallel_for(days.size(), context.options.threads,
               [&](std::size_t gauge) { days[gauge] = judged_days(context, context.days, gauge); });
  std::vector<RatioSample> samples;
  for (const auto& gauge : days)
    for (const Judged& d : gauge) samples.push_back(d.sample);
  return RatioLaw::learned(samples);
}

}  // namespace

ChangeOptions CalibrationLaw::options(std::span<const RatioPoint> series) const {
  ChangeOptions options;
  options.season_variance =
      std::max(season_variance, recurring_season_variance(series).value_or(0));
  return options;
}

const LearnedThreshold& CalibrationLaw::level(ChangeShape shape) const {
  return shape == ChangeShape::step ? step : drift;
}

RatioSeries steadied(std::span<const RatioPoint> series) {
  RatioSeries out(series.begin(), series.end());
  const auto middles = running_median(series);
  for (std::size_t i = 0; i < out.size(); ++i) {
    const double most = kMostStandardised / std::sqrt(out[i].weight);
    out[i].value = std::clamp(out[i].value, middles[i] - most, middles[i] + most);
  }
  const double scale = successive_variance(out);
  for (RatioPoint& p : out) p.weight /= scale;
  return out;
}

std::vector<RatioSeries> calibration_series(const CheckContext& context, const BlockSums& speaking,
                                            const RatioLaw& law) {
  std::vector<RatioSeries> series(context.network.size());
  parallel_for(series.size(), context.options.threads, [&](std::size_t gauge) {
    series[gauge] = series_of(judged_days(context, speaking, gauge), law);
  });
  return series;
}

CalibrationLaw calibration_law(const CheckContext& context) {
  const auto* step = context.frozen_threshold(FindingKind::calibration_step, kCoefficients + 1,
                                              std::numeric_limits<double>::lowest());
  const auto* drift = context.frozen_threshold(FindingKind::calibration_drift);
  if (step != nullptr && drift != nullptr) return thawed(*step, *drift);
  CalibrationLaw law;
  law.ratios = learned_ratios(context);
  auto series = calibration_series(context, context.days, law.ratios);
  for (RatioSeries& one : series) one = steadied(one);
  law.season_variance =
      std::clamp(season_variance(series), kLeastSeasonVariance, kMostSeasonVariance);
  law.step = learned_level(context, FindingKind::calibration_step,
                           scores_of(context, series, ChangeShape::step, law));
  law.drift = learned_level(context, FindingKind::calibration_drift,
                            scores_of(context, series, ChangeShape::ramp, law));
  const auto& c = law.ratios.coefficients();
  law.step.scales.assign(c.begin(), c.end());
  law.step.scales.push_back(law.season_variance);
  return law;
}

}  // namespace gaugeloom
