#pragma once
// How often a healthy gauge has no rain at all in a window, given what its neighbours read: learned
// from the network's own accepted windows.

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "gaugeloom/expect/expected_depths.hpp"
#include "gaugeloom/expect/law_values.hpp"

namespace gaugeloom {

// Lower edges of the bins. Below the first expected depth a dry window tells nothing.
inline constexpr std::array<double, 9> kMissDepthEdgesMm = {0.05, 0.1, 0.2, 0.4, 0.8,
                                                            1.6,  3.2, 6.4, 12.8};
inline constexpr std::array<double, 5> kMissWetEdges = {0, 0.25, 0.5, 0.75, 0.95};

struct MissBin {
  std::size_t windows = 0;
  std::size_t dry = 0;
  double probability = 1;
};

// P(no rain | expected depth, wet share of the neighbours, dry before). "Dry before" means that the
// gauge had no rain in the last three windows although 0.2 mm were expected over them: misses
// follow misses, and without this condition a sum of logs would not be a likelihood ratio.
//
// Every bin is shrunk to the same bin without the condition, that one to its depth alone;
// then the probability is made to fall (never rise) with depth, by pooling neighbouring bins.
// Each gauge has a factor of its own (an isolated gauge misses more), from the bins with a
// probability below 1/2, shrunk to 1, within 0.7 and 4.
class MissLaw {
 public:
  // Without data: no dry window tells anything (probability 1).
  MissLaw();

  // Learns from windows that are measured, testable and not excluded. Runs of dry windows over
  // which more than `longest_dry_mm` were expected are left out too: what is that long may be the
  // fault we look for.
  static MissLaw learned(const RainTable& depths, const ExpectedDepths& expected,
                         const Exclusions& excluded, double longest_dry_mm, int threads);

  // Lists "windows", "dry" and "probability" by depth, then wet share, then dry before; "factor" of
  // gauges. from() throws as LawValues.
  LawValues values() const;
  static MissLaw from(const LawValues& values);

  // Nats of evidence, 0 or more, that a dry window speaks against a working gauge: -log P.
  double nats(std::size_t gauge, double expected_mm, double wet_share, bool dry_before) const;

  const MissBin& bin(std::size_t depth, std::size_t wet, bool dry_before) const {
    return bins_[(depth * kMissWetEdges.size() + wet) * 2 + (dry_before ? 1 : 0)];
  }
  double gauge_factor(std::size_t gauge) const { return factors_[gauge]; }

 private:
  friend class MissLawLearner;
  std::vector<MissBin> bins_;
  std::vector<double> factors_;
};

// Keeps the three-window memory that "dry before" needs, along one gauge.
class DryMemory {
 public:
  bool dry_before() const { return !rain_ && expected_ >= 0.2; }
  void push(double observed_mm, double expected_mm);  // in order of time; NaN counts as nothing

 private:
  std::array<double, 3> observed_{};
  std::array<double, 3> estimates_{};
  std::size_t next_ = 0;
  bool rain_ = false;
  double expected_ = 0;
};

}  // namespace gaugeloom
