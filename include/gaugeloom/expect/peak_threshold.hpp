#pragma once
// The one dial: from the peaks of a score on accepted data to the level that is passed only so
// often.

#include <cstddef>
#include <vector>

namespace gaugeloom {

struct PeakTail {
  double base = 2;          // only peaks above it are counted
  double prior_scale = 1;   // mean excess that theory leads us to expect, in nats
  double prior_peaks = 20;  // how many peaks that expectation counts for
  double least = 5;         // the level never leaves [least, most]
  double most = 14;
};

struct PeakLevel {
  double level = 0;
  double scale = 0;       // mean excess over `base`, shrunk to the prior
  std::size_t peaks = 0;  // counted
};

// The level u with N(u) = calls_per_year * years, where N(u) = N(base) exp(-(u - base) / scale): an
// exponential tail, which a sum of log-likelihood ratios has in the limit (Siegmund, Sequential
// Analysis, Springer 1985, chapter 2; from memory). The largest tenth (at least one) of five or
// more peaks only counts as "not smaller than the rest" (censored maximum likelihood): faults may
// be among them, so nothing needs to be left out beforehand; for the same reason no excess counts
// for more than 6 prior scales. Requires calls_per_year > 0. Order of `peaks` does not matter.
PeakLevel peak_level(std::vector<double> peaks, double years, double calls_per_year,
                     const PeakTail& tail = {});

}  // namespace gaugeloom
