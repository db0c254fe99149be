#pragma once
// What a healthy gauge reads in a window of any length, given what its neighbours read: one law per
// kind of window, learned from the network's own accepted windows.
//
// Two parts: p0 = P(no rain), and the law F of the log ratio L = log((x + b) / (E + b)) of what is
// read, x > 0, to what is expected, E; b is the bucket. L = m + s z: middle m and spread s follow E
// and the patchiness of the neighbours (expect/ratio_law.hpp), which lowers the interval score of
// the bounds by 22 % on synthetic rain and by 6 to 8 % on Singapore's, held out; the law of z is a
// table of points with exponential tails (expect/residual_shape.hpp). Source of the form: You et
// al., Journal of Atmospheric and Oceanic Technology 24, 2007 (the law is learned within bins of
// what the neighbours say).
//
// Measured, learned on half of a record and scored on the other half, windows with 1 mm or more
// expected: the 90 % bounds of 1 h, 6 h, 24 h, storm and month held 93, 92, 91, 91 and 88 % on
// synthetic rain (150 gauges 10 km apart, two years), 92, 91, 90, 90 and 78 % on four months of
// Singapore's (143 gauge-months, learned from the one or two months of the other half: too few).

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "gaugeloom/expect/half_year.hpp"
#include "gaugeloom/expect/judged_windows.hpp"
#include "gaugeloom/expect/law_values.hpp"
#include "gaugeloom/expect/ratio_law.hpp"
#include "gaugeloom/expect/residual_shape.hpp"

namespace gaugeloom {

// Lower edges of the bins of expected depth, and (for p0 only) of wet share.
inline constexpr std::array<double, 14> kWindowDepthEdgesMm = {
    0, 1e-6, 0.05, 0.1, 0.2, 0.4, 0.8, 1.6, 3.2, 6.4, 12.8, 25.6, 51.2, 102.4};
inline constexpr std::array<double, 5> kWindowWetEdges = {0, 0.25, 0.5, 0.75, 0.95};

// Everything a law has learned, as plain values.
struct DurationLawValues {
  std::array<double, 6> ratio{};  // coefficients of the RatioLaw
  // By half of the year, then bin of depth, then (p0 only) of wet share.
  std::array<double, kHalfYears * kWindowDepthEdgesMm.size() * kWindowWetEdges.size()> zero{};
  std::array<ResidualShape, kHalfYears * kWindowDepthEdgesMm.size()> shapes{};
  std::vector<double> spread_factors;  // per gauge: its reliability, 1 = like the network
  std::vector<double> zero_factors;    // per gauge: of its odds of no rain
  std::size_t windows = 0;             // it was learned from
};

// What a healthy gauge would read in one window.
class HealthyReading {
 public:
  // P(x <= observed) and P(x >= observed) with half of the probability of x itself ("mid-p"), so
  // that both have mean 1/2 and add up to 1; never below kLeastProbability.
  double low(double observed_mm) const;
  double high(double observed_mm) const;
  // The depth that a healthy gauge stays at or below with probability `share`; 0 or more.
  double quantile_mm(double share) const;
  double zero_probability() const { return zero_; }
  double standardised(double observed_mm) const;  // z; observed_mm > 0

 private:
  friend class DurationLaw;
  double zero_ = 1;
  double middle_ = 0;
  double spread_ = 1;
  double scale_mm_ = 1;  // E + b
  double bucket_mm_ = 0.2;
  const ResidualShape* shape_ = nullptr;
};

inline constexpr double kLeastProbability = 1e-9;

class DurationLaw {
 public:
  // Without data: p0 = 1/2 and z of a broad law.
  DurationLaw();
  explicit DurationLaw(DurationLawValues values) : values_(std::move(values)) {}

  // Learns from windows that are accepted and usable enough (kLeastWindowShare), each seen by
  // kLeastNeighbours. Every bin is shrunk: a half-year to the whole year, a bin to all bins, a kind
  // of window to `shorter` (the law of the next shorter kind, or none), a gauge to the network. p0
  // never rises with the expected depth.
  static DurationLaw learned(const JudgedWindows& windows, const DurationLaw* shorter, int threads);

  // The spread is never below what the instrument itself does: b^2 / 6 + (q x)^2, q a third of the
  // gauge's class limit. The result points into this law.
  HealthyReading reading(const Gauge& gauge, std::size_t row, const JudgedWindow& window) const;

  const DurationLawValues& values() const { return values_; }

  // The same as lists "ratio", "zero", "points" and "excess" (low, then high; both shape by shape)
  // and "windows"; "spread_factor" and "zero_factor" of gauges. Of no windows: "windows" alone.
  // from() throws as LawValues.
  LawValues lists() const;
  static DurationLaw from(const LawValues& lists);

 private:
  DurationLawValues values_;
};

// The laws of all kinds of windows, each learned with the help of the next shorter one.
struct DurationLaws {
  std::array<DurationLaw, kWindowKinds.size()> of;  // in the order of kWindowKinds

  const DurationLaw& at(WindowKind kind) const { return of[static_cast<std::size_t>(kind)]; }
  // Whether that law was learned from anything.
  bool knows(WindowKind kind) const { return at(kind).values().windows > 0; }
  static DurationLaws learned(const JudgedKinds& windows, int threads);
};

}  // namespace gaugeloom
