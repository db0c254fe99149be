#pragma once
// Rain of one gauge alone while nothing near is wet: tips without rain, or the drip of an outlet.

#include <cstddef>
#include <vector>

#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

inline constexpr double kLoneRainReachM = 30000;  // so far around it all is dry

struct LoneRain {
  std::size_t gauge = 0;
  std::size_t first = 0;  // hours [first, last)
  std::size_t last = 0;
  double depth_mm = 0;
  double score = 0;
  // It goes on from rain of the gauge in the hour before, when others may have been wet, and never
  // rises by more than a bucket from one hour to the next: a funnel that nothing feeds can only
  // run out.
  bool is_drip = false;
};

struct LoneRains {
  std::vector<LoneRain> episodes;  // of 2 mm or more that reach the level, by gauge, then time
  LearnedThreshold threshold;      // of phantom_rain
};

// A finding of that kind over the episode, with all but words; confirmed from `confirmed_score` on.
Finding finding_of(const CheckContext& context, const LoneRain& episode, FindingKind kind,
                   double confirmed_score);

// How its score grew, lone hour by lone hour, each told an hour later.
ScoreGrowth growth_of(const CheckContext& context, const LoneRain& episode,
                      const LearnedThreshold& level);

// A lone hour has rain while every live candidate neighbour within reach, at least three of them,
// was dry from the hour before to the hour after. Lone hours less than 4 h apart are one episode;
// its score is 4 log of its depth over the typical depth of the network's lone episodes (which true
// local showers make; from their median).
LoneRains find_lone_rain(const CheckContext& context);

}  // namespace gaugeloom
