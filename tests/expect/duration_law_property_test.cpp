#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "gaugeloom/core/hash.hpp"
#include "gaugeloom/expect/duration_law.hpp"
#include "gaugeloom/expect/gathered_depths.hpp"
#include "gaugeloom/expect/long_sums.hpp"
#include "support/reference_rain.hpp"
#include "support/synthetic_rain.hpp"

namespace gaugeloom {
namespace {

// How held-out windows with 1 mm or more expected stand under the law.
struct Standing {
  std::vector<double> shares;  // P(X <= x), ties broken evenly: uniform if the law is right
  double held = 0;             // share of the 90 % bounds that held

  double share_below(double p) const {
    return static_cast<double>(std::lower_bound(shares.begin(), shares.end(), p) - shares.begin()) /
           static_cast<double>(shares.size());
  }
  // Greatest distance from a uniform law (Kolmogorov).
  double distance() const {
    double most = 0;
    const auto count = static_cast<double>(shares.size());
    for (std::size_t i = 0; i < shares.size(); ++i)
      most = std::max(most, std::abs(shares[i] - (static_cast<double>(i) + 0.5) / count));
    return most;
  }
};

// A record cut in two halves; everything, site ratios too, is learned on one and scored on the
// other, both ways.
class HeldOut {
 public:
  HeldOut(const Network& network, const RainTable& rain)
      : network_(network),
        hours_(gathered_depths(rain, std::chrono::hours(1))),
        around_(neighbourhoods(network)),
        excluded_(network.size(), hours_.step_count()) {
    const std::size_t half = hours_.step_count() / 48 * 24;
    score(0, half);
    score(half, hours_.step_count());
    for (auto& [kind, standing] : standing_) {
      std::sort(standing.shares.begin(), standing.shares.end());
      standing.held /= static_cast<double>(standing.shares.size());
    }
  }
  const Standing& operator[](WindowKind kind) { return standing_[kind]; }

 private:
  SiteRatios sites_of(std::size_t first, std::size_t last) const {
    const RainTable part = slice(hours_, first, last);
    const Exclusions none(network_.size(), part.step_count());
    std::vector<double> bucket_mm;
    for (const Gauge& gauge : network_.gauges) bucket_mm.push_back(gauge.bucket_mm);
    SiteRatios sites(network_.size());
    for (int pass = 0; pass < 2; ++pass) {
      const auto expected = expected_depths(part, around_, sites, none, 1);
      sites = refined_site_ratios(block_sums(part, expected, none, std::chrono::hours(24)),
                                  bucket_mm, sites);
    }
    return sites;
  }

  void score(std::size_t first, std::size_t last) {
    const SiteRatios sites = sites_of(first, last);
    const auto expected = expected_depths(hours_, around_, sites, excluded_, 1);
    const WindowGround ground{network_, hours_, expected, excluded_, around_, sites.ratio};
    JudgedKinds learn, test;
    for (const WindowKind kind : kTellingKinds) {
      std::vector<StepAxis::Range> inside, outside;
      for (const auto& w : windows_of(kind, hours_)) {
        if (w.first >= first && w.last <= last) inside.push_back(w);
        if (w.last <= first || w.first >= last) outside.push_back(w);
      }
      learn.push_back({kind, JudgedWindows(ground, inside)});
      test.push_back({kind, JudgedWindows(ground, outside)});
    }
    const DurationLaws laws = DurationLaws::learned(learn, 1);
    for (const JudgedKind& judged : test) add(judged, laws.at(judged.kind));
  }

  void add(const JudgedKind& judged, const DurationLaw& law) {
    Standing& standing = standing_[judged.kind];
    for (std::size_t gauge = 0; gauge < network_.size(); ++gauge)
      for (std::size_t w = 0; w < judged.windows.count(); ++w) {
        const JudgedWindow window = judged.windows.at(gauge, w);
        if (window.usable_share < kLeastWindowShare || window.neighbours < kLeastNeighbours ||
            window.expected_mm < 1)
          continue;
        const HealthyReading healthy = law.reading(network_.gauges[gauge], gauge, window);
        const double x = window.observed_mm;
        const double place = keyed_uniform(7, gauge, w);
        const double spread = x + (place - 0.5) * network_.gauges[gauge].bucket_mm;
        standing.shares.push_back(x > 0 ? healthy.low(std::max(1e-6, spread))
                                        : place * healthy.zero_probability());
        if (x >= healthy.quantile_mm(0.05) && x <= healthy.quantile_mm(0.95)) standing.held += 1;
      }
  }

  const Network& network_;
  RainTable hours_;
  Neighbourhoods around_;
  Exclusions excluded_;
  std::map<WindowKind, Standing> standing_;
};

void expect_calibrated(const Standing& standing, double most_distance) {
  EXPECT_LE(standing.distance(), most_distance);
  EXPECT_GE(standing.held, 0.87);
  EXPECT_LE(standing.held, 0.93);
}

// The bounds of 87 and 93 % are the aim of the project for all its 90 % bounds. Windows of one
// storm err alike, so distances are those of a few hundred storms, not of thousands of windows.
TEST(DurationLaw, HoldsOnTheOtherHalfOfSyntheticRain) {
  support::SyntheticRainOptions options;
  options.gauges = 40;
  options.spacing_m = 10000;
  options.step = std::chrono::minutes(15);
  options.steps = 730 * 96;
  options.seed = 3001;
  const support::SyntheticRain rain = support::synthetic_rain(options);
  HeldOut held(rain.network, rain.table);
  for (const WindowKind kind : kTellingKinds) {
    SCOPED_TRACE(word(kind));
    expect_calibrated(held[kind], 0.06);
    // Tails: a thousandth of them, give or take what storms and months are too few to tell.
    EXPECT_LE(held[kind].share_below(0.001), 0.008);
    EXPECT_LE(1 - held[kind].share_below(0.999), 0.008);
  }
  EXPECT_GT(held[WindowKind::month].shares.size(), 800U);
}

// One month of real rain (its source stands beside it): two weeks teach, two are scored, and real
// faults are among them. Days and storms are too few for the aim; what four months gave stands in
// the header.
TEST(DurationLaw, HoldsOnTheOtherHalfOfRealRain) {
  const support::ReferenceRain rain = support::reference_rain("singapore", std::chrono::minutes(5));
  HeldOut held(rain.network, rain.table);
  for (const WindowKind kind : {WindowKind::hour, WindowKind::six_hours}) {
    SCOPED_TRACE(word(kind));
    expect_calibrated(held[kind], 0.07);
  }
  for (const WindowKind kind : {WindowKind::day, WindowKind::storm}) {
    SCOPED_TRACE(word(kind));
    EXPECT_LE(held[kind].distance(), 0.07);
    EXPECT_GE(held[kind].held, 0.80);
    EXPECT_LE(held[kind].held, 0.95);
  }
}

}  // namespace
}  // namespace gaugeloom
