#pragma once
// How well the sums of the members of an ensemble stand for what was hidden.
// Source: T. Gneiting and A. E. Raftery, J. Am. Stat. Assoc. 102 (2007), section 4.2 (CRPS).

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "gaugeloom/fill/ensemble.hpp"
#include "gaugeloom/rehearse/hidden_gaps.hpp"

namespace gaugeloom {

// Sums over one kind of window within the hidden gaps, those that were measured and filled.
struct MemberScore {
  std::string_view window;  // "step", "1 h", "6 h", "24 h", "storm"
  std::size_t windows = 0;
  std::size_t wet = 0;              // with an estimate of 1 mm or more; the shares are of these:
  double members_hold = 0;          // within the middle 90 % of the members; NaN without one
  double members_hold_reading = 0;  // the same of what was read, half a bucket more or less: a
                                    // gauge that says 0 need not have had none
  double band_holds = 0;            // within the band of a step, or that learned for such sums
  double spread_ratio = 0;          // root mean square of the members' standard deviation / of the
                                    // learned standard error
  double members_crps_mm = 0;       // over all windows
  double band_crps_mm = 0;          // the same of the law that the learned band stands for
  double estimate_mm = 0;           // mean sum of the fill
  double mean_mm = 0;               // and of the members' means
};

// Requires: `filled` comes from `truth` with the gaps hidden, `ensemble` from `filled`.
std::vector<MemberScore> score_members(const Network& network, const RainRecord& truth,
                                       const FillResult& filled, const Ensemble& ensemble,
                                       const std::vector<HiddenGap>& gaps);

// A table for people, each line ended.
std::string as_text(const std::vector<MemberScore>& scores);

}  // namespace gaugeloom
