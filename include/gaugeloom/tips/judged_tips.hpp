#pragma once
// Which tips of a counter are turns of its bucket by rain, and which are not.
// Source: C. Duchon, C. Fiebrich and D. Grimsley, J. Atmos. Oceanic Technol. 31 (2014): a whole tip
// takes 0.524 s, so two closures of a contact closer than that are one turn.

#include <array>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "gaugeloom/time/instant.hpp"
#include "gaugeloom/tips/tip_record.hpp"
#include "gaugeloom/tips/tip_stamps.hpp"

namespace gaugeloom {

struct JudgeOptions {
  double bounce_s = 0.5;  // two tips of a counter closer than this are one; 0 = none are
  StampEdge stamp = StampEdge::start;
  std::optional<Instant> from{};  // tips before it are outside
  std::optional<Instant> to{};    // and so are those from it on

  std::optional<std::string> problem() const;  // first broken rule as a sentence, or nothing
};

// Tips written one after another that all stand before one written earlier.
struct TimeSetBack {
  Instant from;  // the latest stamp before
  Instant to;    // the first of these
  std::size_t tips = 0;
};
inline constexpr std::size_t kMostSetBack = 100;

// The tips of one counter, by time. All vectors have one entry per tip of the input.
struct JudgedTips {
  std::vector<Instant> stamps;  // as written
  std::vector<Instant> times;   // when it fell: stamps, spread where they are coarse
  std::vector<TipFate> fates;
  std::vector<StampRun> runs;         // how fine the stamps are
  StampEdge edge = StampEdge::start;  // which end of a coarse one they mark
  std::size_t back = 0;               // tips written after a later one
  Duration farthest_back{0};          // and by how much at most
  std::vector<TimeSetBack> set_back;  // the first kMostSetBack of them

  std::array<std::size_t, kTipFates> counts() const;  // by fate
};

// Sorts the tips and gives each its fate, in this order: outside; duplicate (a fine stamp that
// stood there already); bounce; test (within one of `visits`, which may overlap); else kept.
// Bounce is a fine stamp less than bounce_s after the last tip that is neither bounce nor
// duplicate. Where stamps are coarse, several tips may share one: only those beyond one per
// bounce_s of the second or minute are bounce, the last of them.
//
// Laws (each one is a test): (1) every tip has one fate, and the counts add up to the input;
//   (2) the order of the input does not matter, but for `back` and its company.
// Throws: Error{invalid_option} for options.problem(). Cost: one pass; a sort where tips go back.
JudgedTips judge_tips(std::vector<Instant> stamps, std::span<const Interval> visits,
                      const JudgeOptions& options = {});

}  // namespace gaugeloom
