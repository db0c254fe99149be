#pragma once
// The randomised probability integral transform of filled steps: where in the law of its estimate
// each hidden depth fell. Flat when the laws say what is so.
// Source: C. Czado, T. Gneiting and L. Held, Biometrics 65 (2009), section 2.1.

#include <array>
#include <cstdint>
#include <vector>

#include "gaugeloom/fill/fill_gaps.hpp"
#include "gaugeloom/rehearse/hidden_gaps.hpp"

namespace gaugeloom {

inline constexpr std::size_t kPitBins = 10;

// Shares of the steps by tenths of the law; NaN when no step was both hidden and filled.
struct StepPit {
  std::size_t steps = 0;
  std::array<double, kPitBins> share{};

  double largest() const;   // of the shares; 0.1 if flat
  double distance() const;  // sum over the bins of (share - 0.1)^2 / 0.1: chi-square over the
                            // number of steps; 0 if flat, 9 if all is in one bin
};

// Steps that were measured, hidden and estimated from the neighbours, each under the law of its own
// band (band_law.hpp). A depth that was read stands for half a bucket more or less, so it covers a
// piece of the law, all of it from 0 where nothing was read. The place within the piece is drawn by
// `seed`, the gauge's id and the end of the step: it depends neither on the order of the gauges nor
// on threads. `wet_only` leaves out the steps with an estimate of 0: they are most, and flat as
// soon as nearly all of them were dry.
StepPit step_pit(const Network& network, const RainTable& truth, const SeriesRecord& filled,
                 const std::vector<HiddenGap>& gaps, bool wet_only, std::uint64_t seed = 1);

}  // namespace gaugeloom
