#include "gaugeloom/tips/counter_pair.hpp"

#include <algorithm>
#include <limits>
#include <utility>

namespace gaugeloom {
namespace {

constexpr std::chrono::milliseconds kSlowBounce{750};
constexpr std::chrono::seconds kMinute{60};

TipCell cell_of(const JudgedTips& tips, std::size_t tip, std::chrono::seconds resolution) {
  const Instant stamp = tips.stamps[tip];
  if (resolution == std::chrono::seconds{0}) return {stamp, stamp};
  return tips.edge == StampEdge::start ? TipCell{stamp, stamp + resolution}
                                       : TipCell{stamp - resolution, stamp};
}

PairedCounter paired_of(const JudgedTips& tips) {
  PairedCounter paired;
  for (const StampRun& run : tips.runs)
    for (std::size_t tip = run.first; tip < run.last; ++tip) {
      if (tips.fates[tip] != TipFate::kept && tips.fates[tip] != TipFate::test) continue;
      TipCell cell = cell_of(tips, tip, run.resolution);
      if (!paired.cells.empty()) cell.from = std::max(cell.from, paired.cells.back().from);
      paired.tips.push_back(tip);
      paired.cells.push_back(cell);
    }
  return paired;
}

// The cells of minutes as wide as a map learned from them is uncertain.
void widen(std::vector<TipCell>& cells) {
  for (TipCell& cell : cells)
    if (cell.to - cell.from >= kMinute / 2) {
      cell.from -= kCoarseMapError;
      cell.to += kCoarseMapError;
    }
}

void keep_order(std::vector<TipCell>& cells) {
  for (std::size_t i = cells.size(); i-- > 1;)
    cells[i - 1].from = std::min(cells[i - 1].from, cells[i].from);
}

void match(CounterPair& pair, std::vector<TipCell> mapped) {
  std::vector<TipCell> usual = pair.usual.cells;
  for (std::vector<TipCell>* cells : {&usual, &mapped}) {
    widen(*cells);
    keep_order(*cells);
  }
  const TipMatching matching = match_tips(usual, mapped);
  for (const std::size_t partner : matching.of_first)
    pair.usual.matched.push_back(partner != kNoPartner);
  for (const std::size_t partner : matching.of_second)
    pair.other.matched.push_back(partner != kNoPartner);
}

void mark_slow_bounce(const PairedCounter& paired, JudgedTips& tips) {
  const auto beside = [&](std::size_t i, std::size_t j) {
    return paired.matched[j] &&
           std::chrono::abs(paired.cells[i].from - paired.cells[j].from) < kSlowBounce;
  };
  for (std::size_t i = 0; i < paired.tips.size(); ++i) {
    TipFate& fate = tips.fates[paired.tips[i]];
    if (fate != TipFate::kept || paired.matched[i] || paired.cells[i].from != paired.cells[i].to)
      continue;
    if ((i > 0 && beside(i, i - 1)) || (i + 1 < paired.tips.size() && beside(i, i + 1)))
      fate = TipFate::bounce;
  }
}

// Marks the rows of one side; `ends` are the times of the other's tips.
void mark_rows(PairedCounter& side, const JudgedTips& tips, std::span<const Instant> ends) {
  side.alone.assign(side.tips.size(), 0);
  std::vector<std::size_t> row;
  std::size_t end = 0;
  const auto finish = [&] {
    constexpr std::size_t kMost = std::numeric_limits<std::uint8_t>::max();
    for (const std::size_t i : row)
      side.alone[i] = static_cast<std::uint8_t>(std::min(row.size(), kMost));
    row.clear();
  };
  for (std::size_t i = 0; i < side.tips.size(); ++i) {
    const std::size_t before = end;
    while (end < ends.size() && ends[end] <= side.times[i]) ++end;
    const TipFate fate = tips.fates[side.tips[i]];
    if (end != before || (side.matched[i] && fate == TipFate::kept)) finish();
    if (!side.matched[i] && fate == TipFate::kept) row.push_back(i);
  }
  finish();
}

}  // namespace

CounterPair pair_counters(const CounterTips& usual, const CounterTips& other) {
  CounterPair pair;
  pair.usual = paired_of(usual.tips);
  pair.other = paired_of(other.tips);
  pair.clocks = learn_clock_map(pair.other.cells, pair.usual.cells);
  std::vector<TipCell> mapped = pair.clocks.onto_second(pair.other.cells);
  for (const std::size_t tip : pair.usual.tips) pair.usual.times.push_back(usual.tips.times[tip]);
  Instant latest = Instant::min();
  for (std::size_t i = 0; i < pair.other.tips.size(); ++i) {
    const Duration by = mapped[i].from - pair.other.cells[i].from;
    latest = std::max(latest, other.tips.times[pair.other.tips[i]] + by);
    pair.other.times.push_back(latest);
  }
  match(pair, std::move(mapped));
  return pair;
}

void mark_slow_bounce(const CounterPair& pair, CounterTips& usual, CounterTips& other) {
  mark_slow_bounce(pair.usual, usual.tips);
  mark_slow_bounce(pair.other, other.tips);
}

void mark_rows(CounterPair& pair, const CounterTips& usual, const CounterTips& other) {
  mark_rows(pair.usual, usual.tips, pair.other.times);
  mark_rows(pair.other, other.tips, pair.usual.times);
}

}  // namespace gaugeloom
