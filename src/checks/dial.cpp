#include <algorithm>
#include <utility>

#include "checks/dial_internal.hpp"

namespace gaugeloom {

double dial_share(FindingKind kind) {
  switch (kind) {  // our choice: most to the faults that cost most rain
    case FindingKind::blocked:
      return 0.35;
    case FindingKind::partly_blocked:
      return 0.20;
    case FindingKind::calibration_step:
      return 0.03;
    case FindingKind::calibration_drift:
      return 0.02;
    case FindingKind::reads_low:
    case FindingKind::reads_high:
    case FindingKind::clock_offset:
    case FindingKind::phantom_rain:
      return 0.08;
    case FindingKind::stuck:
    case FindingKind::double_count:
      return 0.04;
    default:
      return 0;
  }
}

LearnedThreshold dialled_threshold(const CheckContext& context, FindingKind kind,
                                   std::vector<double> peaks, double years, const PeakTail& tail,
                                   double least_gap) {
  const double share = dial_share(kind);
  const CheckOptions& options = context.options;
  const auto provisional =
      peak_level(peaks, years, share * options.provisional_calls_per_gauge_year, tail);
  const auto confirmed =
      peak_level(std::move(peaks), years, share * options.confirmed_calls_per_gauge_year, tail);
  return {kind,
          provisional.level,
          std::max(confirmed.level, provisional.level + least_gap),
          provisional.scale,
          provisional.peaks,
          {}};
}

}  // namespace gaugeloom
