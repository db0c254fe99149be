#pragma once
// The volumetric check of a bucket: water of known volume, poured slowly, against the tips it made.
// Source: common practice.

#include <limits>
#include <span>
#include <vector>

#include "gaugeloom/tips/counter_tips.hpp"
#include "gaugeloom/tips/gauge_facts.hpp"

namespace gaugeloom {

// Water that makes 1 mm over the catching area, in ml: 31.416 for a funnel of 200 mm, 32.429 for
// one of 8 inches.
inline double ml_per_mm(double funnel_cm2) { return funnel_cm2 / 10; }

struct PourCheck {
  std::size_t gauge = 0;     // row in the network; set by correct_network
  std::uint8_t counter = 0;  // that made the tips
  Pour pour;
  std::size_t tips = 0;  // of the visit, without bounce and duplicates
  double poured_mm = 0;
  double bucket_mm = 0;  // as listed
  // NaN without a tip, and the intensity with fewer than two.
  double true_mm = std::numeric_limits<double>::quiet_NaN();  // per tip: poured_mm / tips
  double low_mm = true_mm;                                    // its 90 % band
  double high_mm = true_mm;
  double factor = true_mm;          // true over listed: what a calibration table needs ...
  double intensity_mm_h = true_mm;  // ... at this indicated intensity
};

// The check of one pour by the tips of one counter. The bucket was partly full at both ends of the
// pour, evenly so: the water made between tips - 1 and tips + 1 bucketfuls, with a triangular law,
// of which tips +-0.684 holds 90 %. That is the whole band: the volume is taken as exact, and all
// tips of the visit as the pour's. Where high_mm has no bound (one tip or none), it is NaN.
PourCheck pour_check(const CounterTips& counter, const Pour& pour, const GaugeFacts& facts,
                     double funnel_cm2);
// One per pour and counter.
std::vector<PourCheck> pour_checks(std::span<const CounterTips> counters, const GaugeFacts& facts,
                                   double funnel_cm2);

}  // namespace gaugeloom
