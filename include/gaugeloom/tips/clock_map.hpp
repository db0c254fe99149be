#pragma once
// How far the clock of one counter of a bucket is ahead of the other's, learned from their tips.

#include <span>
#include <vector>

#include "gaugeloom/tips/tip_matching.hpp"

namespace gaugeloom {

// One of the two clocks was set, between two tips of the first counter. Which of the two it was,
// the tips do not say.
struct ClockSet {
  Instant after;  // times of the first clock
  Instant before;
  Duration by{0};  // the second clock went forward by so much against the first
};

// Piecewise linear: a slow drift between knots, and jumps where a clock was set.
class ClockMap {
 public:
  struct Knot {
    Instant at;      // of the first clock
    Duration ahead;  // of the second
    Duration cell;   // the coarser stamps it was learned from
  };

  ClockMap() = default;  // of clocks that agree, for all one knows

  bool is_known() const { return !pieces_.empty(); }
  const std::vector<ClockSet>& sets() const { return sets_; }
  // How far the second clock is ahead when the first shows t; 0 when nothing is known. Before the
  // first knot of a piece and after its last it is theirs.
  Duration ahead(Instant t) const;
  // `cells` of the first clock on the second. Where the second was set back they stand still until
  // it has caught up, so that `from` never falls.
  std::vector<TipCell> onto_second(std::span<const TipCell> cells) const;

 private:
  friend class ClockLearning;
  struct Piece {
    Instant from;  // of the first clock
    std::vector<Knot> knots;
  };

  std::vector<Piece> pieces_;
  std::vector<ClockSet> sets_;
};

// A map learned from whole minutes may be wrong by this much.
inline constexpr Duration kCoarseMapError = std::chrono::seconds(15);

// Learns the map from tips of the first counter in blocks of up to 32 within a day. A block has a
// knot where at least half of its tips, or of the second's beside them, and 3, meet within 2 s
// under the clock as it went before (at first: no difference). Where they do not, and the block has
// 10 tips or more, every difference up to 26 h between its tips and those of the second is tried,
// and the one under which most meet is taken if it brings together 10, half of the block, and twice
// what the old one did, and no other comes near it; ties go to the least. So lost tips and noise
// change nothing, a clock that was set is followed from its first 10 tips on, and a clock set wrong
// by more than 26 h is not found. Whole minutes tell less: blocks of up to 128 tips within 5 days,
// of which 10 must meet, or 40 under another difference. Between knots up to 5 s, half a coarse
// stamp, and 50 parts in a million of the time between them are drift, what is more a set clock
// (our choice: quartz clocks run 20 parts in a million wrong, common practice); it lies where it
// lets most tips meet. A knot that the next one takes back is dropped.
//   first, second   each by time: `from` does not fall
// Laws (each one is a test): a constant difference, a drift of 50 parts in a million and a clock
// set by an hour are found again to a second with a tenth of the tips lost on either side; from
// whole minutes, to kCoarseMapError.
// Cost: linear where the clocks agree or drift; a block that finds no match costs its tips times
// those of the second within 26 h, of which no more than half a million are looked at.
ClockMap learn_clock_map(std::span<const TipCell> first, std::span<const TipCell> second);

}  // namespace gaugeloom
