#pragma once
// What a person needs to see to believe or reject a finding: what the gauge read around it, what
// its neighbours read and led us to expect, and how the score of its check grew. For looking at;
// nothing is decided by it.

#include <chrono>
#include <cstddef>
#include <vector>

#include "gaugeloom/checks/score_growth.hpp"
#include "gaugeloom/time/instant.hpp"

namespace gaugeloom {

inline constexpr std::size_t kMostEvidenceBars = 600;
inline constexpr std::size_t kMostEvidenceNeighbours = 8;

// Bars of one length side by side, bar i over [begin + i bar, begin + (i + 1) bar): hours (or
// steps, when these are longer), or the smallest number of them that keeps the bars at
// kMostEvidenceBars. They reach from a margin before the finding to the same margin after its end,
// its call and the last point of its score, as far as the record goes; the last bar may reach
// beyond it. The margin is a third of the finding, within 2 and 30 days (our choice).
//
// A depth is the sum of what is known in its bar, and NaN where nothing is: missing is never 0.
// What share of the bar is known stands beside it, as a bar of half a day's readings is no whole
// bar. At most some 60 kB each.
struct FindingEvidence {
  Instant begin;
  std::chrono::seconds bar{0};
  std::vector<double> own_mm;          // as read
  std::vector<double> own_share;       // of the bar that was measured, 0 to 1
  std::vector<double> expected_mm;     // by the neighbours (expect/expected_depths.hpp)
  std::vector<double> expected_share;  // of the bar that had an estimate
  // Both over the hours of the bar at which both are known, as the check sees them (gathered, and
  // none in the cold): what may be held against each other, NaN where there are none.
  std::vector<double> own_compared_mm;
  std::vector<double> expected_compared_mm;
  // The first of Finding::neighbours, at most kMostEvidenceNeighbours, and what each read: no site
  // ratio is taken out. Of a bar that was measured in part, as in expect/gathered_depths.hpp: the
  // measured sum over the measured share, NaN below two thirds.
  std::vector<std::size_t> neighbours;
  std::vector<std::vector<double>> neighbours_mm;
  ScoreGrowth score;

  std::size_t bars() const { return own_mm.size(); }
  bool empty() const { return own_mm.empty(); }  // beyond CheckOptions::most_evidence
};

}  // namespace gaugeloom
