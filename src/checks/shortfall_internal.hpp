#pragma once
// Spells in which a gauge reads as a narrowed outlet would, and what shape the loss has: a partial
// block holds back what is more than the outlet passes and lets it drip; a leak, a tilt or a lost
// counter takes the same share of light and heavy rain.

#include <cstddef>
#include <optional>
#include <vector>

#include "checks/score_growth_internal.hpp"
#include "gaugeloom/checks/check_context.hpp"

namespace gaugeloom {

enum class LossShape {
  outlet,  // capped or dripping, or not to be told apart
  share,   // the same part of every hour, 2 nats better than any outlet, after it had read well
};

struct Shortfall {
  std::size_t gauge = 0;
  std::size_t first_hour = 0;  // [first, last)
  std::size_t last_hour = 0;
  bool open = false;       // it lasts to the end of the record
  double score = 0;        // at its peak
  std::size_t storms = 0;  // that spoke for it
  std::size_t called_hour = 0;
  bool confirmed = false;
  LossShape shape = LossShape::outlet;
  ScorePath path;  // with context.keep_growth
};

struct Shortfalls {
  std::vector<Shortfall> spells;  // by gauge, then time
  LearnedThreshold threshold;     // of partly_blocked
};

Shortfalls find_shortfalls(const CheckContext& context);

// A finding over a spell, without its words.
Finding shortfall_finding(const CheckContext& context, FindingKind kind, const Shortfall& spell);

// How the score of a spell grew.
ScoreGrowth growth_of(const CheckContext& context, const Shortfall& spell,
                      const LearnedThreshold& level);

// Which shape fits the hours [first, last) of a gauge, on square roots of depth: the best constant
// share, against the best of a few outlets (expect/funnel_store.hpp). A share below a quarter, and
// fewer than 8 hours with rain, are taken for a block.
LossShape loss_shape(const CheckContext& context, std::size_t gauge, std::size_t first,
                     std::size_t last);

}  // namespace gaugeloom
