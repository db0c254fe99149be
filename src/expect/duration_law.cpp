#include "gaugeloom/expect/duration_law.hpp"

#include <algorithm>
#include <bit>
#include <cmath>

#include "expect/falling_internal.hpp"
#include "gaugeloom/core/hash.hpp"
#include "gaugeloom/core/parallel.hpp"
#include "gaugeloom/core/portable_math.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kDepths = kWindowDepthEdgesMm.size();
constexpr std::size_t kWets = kWindowWetEdges.size();

// How many windows a parent counts for; our choices.
constexpr double kZeroPrior = 20;
constexpr double kShapePrior = 40;
constexpr double kFactorPrior = 20;
constexpr double kZeroFactorPrior = 5;  // dry windows
constexpr double kTelling = 0.5;        // only bins below it shape a gauge's odds of no rain
constexpr double kMostStandardised = 2.5;
// A middle and a spread of its own need as many windows: gauges of one window err alike. Measured
// on synthetic months: 87 % of bounds held with four months' own, 89 % with the storms'.
constexpr std::size_t kLeastForRatio = 60;
constexpr std::size_t kLeastWindowsForRatio = 8;
constexpr std::size_t kMostLearned = 2'000'000;  // gauge-windows: more tell nothing new

template <std::size_t N>
std::size_t bin_of(const std::array<double, N>& edges, double value) {
  std::size_t bin = 0;
  while (bin + 1 < N && value >= edges[bin + 1]) ++bin;
  return bin;
}

std::size_t depth_bin(double expected_mm) { return bin_of(kWindowDepthEdgesMm, expected_mm); }

std::size_t zero_bin(const JudgedWindow& w) {
  return depth_bin(w.expected_mm) * kWets + bin_of(kWindowWetEdges, w.wet_share);
}

struct ZeroCount {
  double windows = 0;
  double dry = 0;
};
using ZeroCounts = std::array<std::array<ZeroCount, kDepths * kWets>, kHalfYears>;

bool teaches(const JudgedWindow& w) {
  return w.accepted && w.usable_share >= kLeastWindowShare && w.neighbours >= kLeastNeighbours;
}

// A window with rain. Its depth is spread over its bucket, evenly over many windows, so that whole
// tips make no steps in the law; the place in the bucket hangs on nothing but the window.
struct WetWindow {
  JudgedWindow window;
  double spread_mm = 0;
};

struct Seen {
  ZeroCounts zeros{};
  std::vector<WetWindow> wet;
};

double spread_over_bucket(const JudgedWindow& w, std::size_t index, double bucket_mm) {
  const double place = keyed_uniform(index, std::bit_cast<std::uint64_t>(w.expected_mm),
                                     std::bit_cast<std::uint64_t>(w.patchiness));
  return std::max(0.0, w.observed_mm + (place - 0.5) * bucket_mm);
}

class Learner {
 public:
  Learner(const JudgedWindows& windows, const DurationLaw* shorter)
      : windows_(windows), shorter_(shorter), seen_(windows.gauges()) {}

  DurationLaw learn(int threads) {
    parallel_for(seen_.size(), threads, [&](std::size_t gauge) { look(gauge); });
    for (const Seen& s : seen_) values_.windows += s.wet.size() + dry_windows(s.zeros);
    learn_zeros();
    learn_ratio();
    learn_factors();
    learn_shapes();
    return DurationLaw(std::move(values_));
  }

 private:
  static std::size_t dry_windows(const ZeroCounts& counts) {
    double dry = 0;
    for (const auto& half : counts)
      for (const ZeroCount& c : half) dry += c.dry;
    return static_cast<std::size_t>(dry);
  }

  void look(std::size_t gauge) {
    Seen& seen = seen_[gauge];
    const std::uint64_t one_in = 1 + windows_.gauges() * windows_.count() / kMostLearned;
    for (std::size_t w = 0; w < windows_.count(); ++w) {
      if (mix_bits(w) % one_in != 0) continue;
      const JudgedWindow window = windows_.at(gauge, w);
      if (!teaches(window)) continue;
      ZeroCount& count = seen.zeros[window.half_year][zero_bin(window)];
      ++count.windows;
      if (window.observed_mm > 0) {
        const double bucket_mm = windows_.network().gauges[gauge].bucket_mm;
        seen.wet.push_back({window, spread_over_bucket(window, w, bucket_mm)});
      } else {
        ++count.dry;
      }
    }
  }

  void learn_zeros() {
    ZeroCounts all{};
    for (const Seen& s : seen_)
      for (std::size_t half = 0; half < kHalfYears; ++half)
        for (std::size_t i = 0; i < kDepths * kWets; ++i) {
          all[half][i].windows += s.zeros[half][i].windows;
          all[half][i].dry += s.zeros[half][i].dry;
        }
    for (std::size_t wet = 0; wet < kWets; ++wet)
      for (std::size_t half = 0; half < kHalfYears; ++half) learn_column(all, half, wet);
  }

  // Of the whole year: without a shorter law, bins are shrunk to their depth over all wet shares.
  double year_zero(const ZeroCounts& all, std::size_t depth, std::size_t wet) const {
    const std::size_t i = depth * kWets + wet;
    double prior = 0;
    if (shorter_ != nullptr) {
      const auto& zero = shorter_->values().zero;
      prior = 0.5 * (zero[i] + zero[kDepths * kWets + i]);
    } else {
      ZeroCount of_depth{1, 0.5};
      for (std::size_t w = 0; w < kWets; ++w)
        for (const auto& half : all) {
          of_depth.windows += half[depth * kWets + w].windows;
          of_depth.dry += half[depth * kWets + w].dry;
        }
      prior = of_depth.dry / of_depth.windows;
    }
    return (all[0][i].dry + all[1][i].dry + kZeroPrior * prior) /
           (all[0][i].windows + all[1][i].windows + kZeroPrior);
  }

  void learn_column(const ZeroCounts& all, std::size_t half, std::size_t wet) {
    std::array<double, kDepths> zero{};
    std::array<double, kDepths> weight{};
    for (std::size_t depth = 0; depth < kDepths; ++depth) {
      const ZeroCount& c = all[half][depth * kWets + wet];
      zero[depth] = (c.dry + kZeroPrior * year_zero(all, depth, wet)) / (c.windows + kZeroPrior);
      weight[depth] = c.windows + 1;
    }
    make_falling(zero, weight);
    for (std::size_t depth = 0; depth < kDepths; ++depth)
      values_.zero[(half * kDepths + depth) * kWets + wet] = zero[depth];
  }

  void learn_ratio() {
    std::vector<RatioSample> samples;
    for (std::size_t gauge = 0; gauge < seen_.size(); ++gauge) {
      const double bucket_mm = windows_.network().gauges[gauge].bucket_mm;
      for (const WetWindow& w : seen_[gauge].wet)
        samples.push_back(
            {w.window.expected_mm + bucket_mm, w.window.patchiness,
             portable_log((w.spread_mm + bucket_mm) / (w.window.expected_mm + bucket_mm))});
    }
    const bool few = windows_.count() < kLeastWindowsForRatio || samples.size() < kLeastForRatio;
    if (!few || shorter_ == nullptr) {
      values_.ratio = RatioLaw::learned(samples).coefficients();
      return;
    }
    // The middle of short windows does not carry over to much longer ones: long totals come out
    // even.
    values_.ratio = shorter_->values().ratio;
    std::fill_n(values_.ratio.begin(), 3, 0.0);
  }

  double prior_factor(const std::vector<double> DurationLawValues::*factors,
                      std::size_t gauge) const {
    return shorter_ == nullptr ? 1 : (shorter_->values().*factors)[gauge];
  }

  double standardised(const DurationLaw& law, std::size_t gauge, const WetWindow& w) const {
    return law.reading(windows_.network().gauges[gauge], gauge, w.window).standardised(w.spread_mm);
  }

  void learn_factors() {
    const DurationLaw plain(values_);
    std::vector<double> squares(seen_.size());
    std::vector<double> means;
    for (std::size_t gauge = 0; gauge < seen_.size(); ++gauge) {
      for (const WetWindow& w : seen_[gauge].wet) {
        const double z = standardised(plain, gauge, w);
        squares[gauge] += std::min(z * z, kMostStandardised * kMostStandardised);
      }
      if (!seen_[gauge].wet.empty())
        means.push_back(squares[gauge] / static_cast<double>(seen_[gauge].wet.size()));
    }
    std::sort(means.begin(), means.end());
    const double typical = means.empty() ? 1 : std::max(0.01, means[means.size() / 2]);
    for (std::size_t gauge = 0; gauge < seen_.size(); ++gauge) {
      const double prior = prior_factor(&DurationLawValues::spread_factors, gauge);
      const double variance = (squares[gauge] / typical + kFactorPrior * prior * prior) /
                              (static_cast<double>(seen_[gauge].wet.size()) + kFactorPrior);
      values_.spread_factors.push_back(std::clamp(std::sqrt(variance), 0.5, 2.0));
      values_.zero_factors.push_back(zero_factor(gauge));
    }
  }

  double zero_factor(std::size_t gauge) const {
    double dry = kZeroFactorPrior * prior_factor(&DurationLawValues::zero_factors, gauge);
    double expected = kZeroFactorPrior;
    for (std::size_t half = 0; half < kHalfYears; ++half)
      for (std::size_t i = 0; i < kDepths * kWets; ++i) {
        const double p = values_.zero[half * kDepths * kWets + i];
        if (p > kTelling) continue;
        dry += seen_[gauge].zeros[half][i].dry;
        expected += seen_[gauge].zeros[half][i].windows * p;
      }
    return std::clamp(dry / expected, 0.5, 4.0);
  }

  void learn_shapes() {
    const DurationLaw law(values_);
    std::array<std::vector<double>, kHalfYears * kDepths> of;
    for (std::size_t gauge = 0; gauge < seen_.size(); ++gauge)
      for (const WetWindow& w : seen_[gauge].wet)
        of[w.window.half_year * kDepths + depth_bin(w.window.expected_mm)].push_back(
            standardised(law, gauge, w));
    std::vector<double> all;
    for (auto& z : of) {
      std::sort(z.begin(), z.end());
      all.insert(all.end(), z.begin(), z.end());
    }
    std::sort(all.begin(), all.end());
    const ResidualShape network = learned_shape(all, broad_shape(1), kShapePrior);
    for (std::size_t depth = 0; depth < kDepths; ++depth) {
      std::vector<double> both = of[depth];
      both.insert(both.end(), of[kDepths + depth].begin(), of[kDepths + depth].end());
      std::sort(both.begin(), both.end());
      const ResidualShape year = learned_shape(both, network, kShapePrior);
      for (std::size_t half = 0; half < kHalfYears; ++half)
        values_.shapes[half * kDepths + depth] =
            learned_shape(of[half * kDepths + depth], year, kShapePrior);
    }
  }

  const JudgedWindows& windows_;
  const DurationLaw* shorter_;
  std::vector<Seen> seen_;
  DurationLawValues values_;
};

double factor_of(const std::vector<double>& factors, std::size_t gauge) {
  return gauge < factors.size() ? factors[gauge] : 1;
}

double probable(double p) { return std::clamp(p, kLeastProbability, 1.0); }

}  // namespace

double HealthyReading::standardised(double observed_mm) const {
  return (portable_log((observed_mm + bucket_mm_) / scale_mm_) - middle_) / spread_;
}

double HealthyReading::low(double observed_mm) const {
  if (!(observed_mm > 0)) return probable(zero_ / 2);
  return probable(zero_ + (1 - zero_) * shape_->below(standardised(observed_mm)));
}

double HealthyReading::high(double observed_mm) const {
  if (!(observed_mm > 0)) return probable(1 - zero_ / 2);
  return probable((1 - zero_) * shape_->above(standardised(observed_mm)));
}

double HealthyReading::quantile_mm(double share) const {
  if (share <= zero_) return 0;
  const double z = shape_->quantile((share - zero_) / (1 - zero_));
  return std::max(0.0, scale_mm_ * portable_exp(middle_ + spread_ * z) - bucket_mm_);
}

DurationLaw::DurationLaw() {
  values_.ratio = RatioLaw().coefficients();
  values_.zero.fill(0.5);
  values_.shapes.fill(broad_shape(1));
}

DurationLaw DurationLaw::learned(const JudgedWindows& windows, const DurationLaw* shorter,
                                 int threads) {
  return Learner(windows, shorter).learn(threads);
}

HealthyReading DurationLaw::reading(const Gauge& gauge, std::size_t row,
                                    const JudgedWindow& window) const {
  const RatioLaw ratio(values_.ratio);
  HealthyReading out;
  const double odds = factor_of(values_.zero_factors, row);
  const double zero = values_.zero[window.half_year * kDepths * kWets + zero_bin(window)];
  out.zero_ = zero * odds / (1 - zero + zero * odds);
  out.bucket_mm_ = gauge.bucket_mm;
  out.scale_mm_ = window.expected_mm + gauge.bucket_mm;
  out.middle_ = ratio.mean(out.scale_mm_, window.patchiness);
  const double q = gauge.accuracy_percent / 300;
  const double b = gauge.bucket_mm;
  const double instrument_mm2 = b * b / 6 + q * q * window.expected_mm * window.expected_mm;
  const double factor = factor_of(values_.spread_factors, row);
  const double learned = factor * factor * ratio.variance(out.scale_mm_, window.patchiness);
  out.spread_ = std::sqrt(std::max(instrument_mm2 / (out.scale_mm_ * out.scale_mm_), learned));
  out.shape_ = &values_.shapes[window.half_year * kDepths + depth_bin(window.expected_mm)];
  return out;
}

LawValues DurationLaw::lists() const {
  LawValues out;
  out.lists["windows"] = {static_cast<double>(values_.windows)};
  if (values_.windows == 0) return out;
  out.lists["ratio"].assign(values_.ratio.begin(), values_.ratio.end());
  out.lists["zero"].assign(values_.zero.begin(), values_.zero.end());
  for (const ResidualShape& shape : values_.shapes) {
    std::vector<double>& points = out.lists["points"];
    points.insert(points.end(), shape.points.begin(), shape.points.end());
    out.lists["excess"].insert(out.lists["excess"].end(), {shape.low_excess, shape.high_excess});
  }
  out.of_gauges["spread_factor"] = {values_.spread_factors, 1};
  out.of_gauges["zero_factor"] = {values_.zero_factors, 1};
  return out;
}

DurationLaw DurationLaw::from(const LawValues& lists) {
  DurationLawValues v;
  v.windows = static_cast<std::size_t>(lists.list("windows", 1, {0, 1e15})[0]);
  if (v.windows == 0) return {};
  const LawValues::Bounds any{-1e6, 1e6};
  const LawValues::Bounds positive{1e-9, 1e6};
  std::ranges::copy(lists.list("ratio", v.ratio.size(), any), v.ratio.begin());
  std::ranges::copy(lists.list("zero", v.zero.size(), {0, 1}), v.zero.begin());
  constexpr std::size_t each = ResidualShape::kPoints;
  const auto& points = lists.list("points", v.shapes.size() * each, any);
  const auto& excess = lists.list("excess", v.shapes.size() * 2, positive);
  for (std::size_t i = 0; i < v.shapes.size(); ++i) {
    std::copy_n(&points[i * each], each, v.shapes[i].points.begin());
    v.shapes[i].low_excess = excess[2 * i];
    v.shapes[i].high_excess = excess[2 * i + 1];
  }
  v.spread_factors = lists.per_gauge("spread_factor", positive);
  v.zero_factors = lists.per_gauge("zero_factor", positive);
  return DurationLaw(std::move(v));
}

DurationLaws DurationLaws::learned(const JudgedKinds& windows, int threads) {
  DurationLaws laws;
  const DurationLaw* shorter = nullptr;
  for (const JudgedKind& judged : windows) {
    if (judged.windows.count() == 0) continue;
    DurationLaw& law = laws.of[static_cast<std::size_t>(judged.kind)];
    law = DurationLaw::learned(judged.windows, shorter, threads);
    shorter = &law;
  }
  return laws;
}

}  // namespace gaugeloom
