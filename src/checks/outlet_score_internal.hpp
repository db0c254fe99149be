#pragma once
// A narrowed outlet against a working one, hour by hour: the generalised likelihood ratio of a
// partial block over a few outlets (expect/funnel_store.hpp, here in steps of an hour).
//
// l = log P(read | what that outlet passes) - log P(read | what was expected) under the network's
// law of an hour (expect/hour_law.hpp), times the closeness of the neighbours, at most 4 nats
// either way. Where the outlet is at its cap, or drains what it stored, it reads that very depth in
// so many cases and is as uncertain as any estimate in the rest. S = max(0, S + l), a cumulative
// sum (E. S. Page, Biometrika 41, 1954), one for each outlet; one storm adds at most 5 nats, as a
// single storm may have missed the gauge; storms are parted by 6 hours.

#include <cstddef>
#include <limits>
#include <optional>
#include <vector>

#include "checks/score_growth_internal.hpp"
#include "gaugeloom/checks/check_context.hpp"
#include "gaugeloom/expect/funnel_store.hpp"

namespace gaugeloom {

// What may have become of the outlet: it passes what a store lets through, or a share of all.
struct OutletGuess {
  FunnelOutlet outlet;
  double share = 1;  // of the rain reaches the store; the rest is lost
};

struct OutletLevels {
  double provisional = std::numeric_limits<double>::infinity();
  double confirmed = std::numeric_limits<double>::infinity();
};

struct OutletSpell {
  std::size_t first = 0;  // hours [first, last): from the first telling hour to that of the peak
  std::size_t last = 0;
  bool open = false;  // not contradicted by the end of the record
  double peak = 0;
  std::size_t storms = 0;     // that gave 1 nat or more
  std::size_t wet_hours = 0;  // in which the gauge had rain
  OutletGuess guess;
  std::optional<std::size_t> called;     // hour
  std::optional<std::size_t> confirmed;  // hour
  ScorePath path;                        // with context.keep_growth: the highest S of all outlets
};

// The spells of one gauge by time, the best outlet for each; none overlaps another. `called` and
// `confirmed` (over at least two storms) are the first hours at which any outlet's S reached its
// level in that spell. A spell ends where S has fallen by 6 nats, or to 0, or with more rain than
// such an outlet can pass.
std::vector<OutletSpell> outlet_spells(const CheckContext& context, std::size_t gauge,
                                       const OutletLevels& levels);

// Sum of l for that outlet, empty at first, over hours [first, last) of a gauge; no limits.
double outlet_nats(const CheckContext& context, std::size_t gauge, const OutletGuess& guess,
                   std::size_t first, std::size_t last);

// The same for a working outlet whose hours are stamped `late` hours late (early when negative).
double late_nats(const CheckContext& context, std::size_t gauge, int late, std::size_t first,
                 std::size_t last);

}  // namespace gaugeloom
