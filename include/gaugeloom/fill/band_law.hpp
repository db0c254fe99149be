#pragma once
// A whole law of depth from what an estimate says: itself, its 90 % band and its standard error.
// For ensembles and scores, which need a law; the estimate itself does not depend on it.
// Scores: T. Gneiting and A. E. Raftery, J. Am. Stat. Assoc. 102 (2007), section 4.2 (CRPS); the
// shape of the law is our choice, because the four numbers leave it open.

#include "gaugeloom/fill/duration_errors.hpp"

namespace gaugeloom {

// Depth as a function of the share of the law below it: straight from 0 to low at 0.05; then
// low + (high - low) v^power with v from 0 to 1, up to 1 - tail_share; then an exponential tail
// above high with mean tail_mm.
struct BandLaw {
  double low_mm = 0;
  double high_mm = 0;
  double power = 1;
  double tail_share = 0.05;
  double tail_mm = 0;

  double quantile_mm(double share) const;  // 0 < share < 1; never falls with it
  double share_up_to(double mm) const;     // chance of at most so much; 0 below 0
  double mean_mm() const;
  double mean_square_mm2() const;
  // Continuous ranked probability score against what was measured: twice the mean quantile loss
  // over 100 shares. For a law without spread it is the absolute error.
  double crps_mm(double measured_mm) const;
};

// The law of an estimate above 0 has the band for its 5 % and 95 % quantiles, the estimate for its
// mean, and the standard error for its standard deviation, as far as mean and band leave room
// (power from 1/50 to 50). The mean has precedence. That of an estimate of 0 is in two parts, dry
// or an exponential depth: the band's upper bound is its 95 % quantile, the standard error its root
// mean square depth as far as that is 0.43 of the bound or more (less leaves no such law). A band
// of NaN makes a law of NaN. Requires otherwise: 0 <= low <= high; low 0 where the estimate is.
BandLaw band_law(double estimate_mm, const DepthError& band);

}  // namespace gaugeloom
