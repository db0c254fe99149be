#include "gaugeloom/tips/storm_peaks.hpp"

#include <algorithm>

namespace gaugeloom {
namespace {

// The sum of what fell, as a line with corners: it may jump where the course is unknown.
struct Corner {
  Instant at;
  double before_mm = 0;
  double after_mm = 0;
};

std::vector<Corner> mass_curve(std::span<const Inflow> inflows) {
  std::vector<Corner> corners;
  double sum_mm = 0;
  const auto corner = [&](Instant at) -> Corner& {
    if (corners.empty() || corners.back().at < at) corners.push_back({at, sum_mm, sum_mm});
    return corners.back();
  };
  for (const Inflow& inflow : inflows) {
    corner(inflow.from);
    const bool jumps = inflow.from == inflow.to;
    sum_mm += inflow.corrected_mm;
    Corner& end = corner(inflow.to);
    if (!jumps) end.before_mm = sum_mm;
    end.after_mm = sum_mm;
  }
  return corners;
}

// The sum just before or just after times that never go back.
class Walk {
 public:
  Walk(std::span<const Corner> corners, bool after) : corners_(corners), after_(after) {}

  double at(Instant t) {
    while (next_ < corners_.size() && corners_[next_].at < t) ++next_;
    if (next_ == corners_.size()) return corners_.back().after_mm;
    const Corner& next = corners_[next_];
    if (next.at == t) return after_ ? next.after_mm : next.before_mm;
    if (next_ == 0) return next.before_mm;
    const Corner& last = corners_[next_ - 1];
    const double share = static_cast<double>((t - last.at).count()) /
                         static_cast<double>((next.at - last.at).count());
    return last.after_mm + share * (next.before_mm - last.after_mm);
  }

 private:
  std::span<const Corner> corners_;
  bool after_;
  std::size_t next_ = 0;  // the first corner not before the last time asked for
};

double most_within(std::span<const Corner> corners, Duration window) {
  double most = 0;
  Walk end(corners, true);
  Walk begin(corners, false);
  for (const Corner& corner : corners) {
    most = std::max(most, end.at(corner.at + window) - corner.before_mm);
    most = std::max(most, corner.after_mm - begin.at(corner.at - window));
  }
  return most;
}

}  // namespace

std::vector<StormPeaks> storm_peaks(std::span<const Inflow> inflows) {
  std::vector<StormPeaks> storms;
  for (std::size_t first = 0; first < inflows.size();) {
    StormPeaks storm;
    std::size_t last = first;
    do {
      storm.depth_mm += inflows[last].corrected_mm;
      ++last;
    } while (last < inflows.size() && inflows[last].from - inflows[last - 1].to < kGaugeStormGap);
    if (storm.depth_mm >= kLeastGaugeStormMm - 1e-9) {
      const auto corners = mass_curve(inflows.subspan(first, last - first));
      storm.over = {corners.front().at, corners.back().at};
      for (std::size_t i = 0; i < kPeakDurations.size(); ++i)
        storm.most_mm[i] = most_within(corners, kPeakDurations[i]);
      storms.push_back(storm);
    }
    first = last;
  }
  return storms;
}

}  // namespace gaugeloom
