#include "gaugeloom/tips/clock_map.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <optional>
#include <utility>

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {
namespace {

using std::chrono::hours;
using std::chrono::seconds;
// A block of tips, and how many of them must meet. Whole minutes meet by chance more often and tell
// less each.
struct BlockLimits {
  std::size_t tips;
  hours span;
  std::size_t fewest_hits;
  std::size_t fewest_found;
};
constexpr BlockLimits kFine{32, hours(24), 3, 10};
constexpr BlockLimits kCoarse{128, hours(5 * 24), 10, 40};
constexpr seconds kCoarseCell{10};
constexpr double kRunnerUp = 0.8;  // of the hits: another difference with more makes it doubtful
constexpr Duration kFarthest = hours(26);  // a day, and a time zone's worth of summer time
constexpr std::size_t kCandidates = 8;
constexpr std::size_t kMostDifferences = 500'000;  // beyond it tips are too dense to tell anything
constexpr Duration kPad = std::chrono::milliseconds(250);  // stamps of one turn differ by that
constexpr double kMostDrift = 50e-6;
constexpr Duration kUnsteady = seconds(5);  // knots of coarse stamps are as uncertain
constexpr hours kShortestRate{24};          // knots closer than this tell no rate
constexpr hours kLongestRate{30 * 24};
constexpr std::size_t kRateKnots = 64;

Duration scaled(Duration length, double factor) {
  return Duration(std::llround(static_cast<double>(length.count()) * factor));
}

Instant middle(const TipCell& cell) { return cell.from + (cell.to - cell.from) / 2; }

// The differences under which two tips can be one turn.
struct Span {
  Duration from;
  Duration to;
};
Span differences(const TipCell& first, const TipCell& second) {
  return {second.from - first.to - kPad, second.to - first.from + kPad};
}

// Where most spans lie on each other.
struct Peak {
  Duration at;  // the middle
  int spans;
};

// Every stretch that more spans cover than those beside it, by difference.
std::vector<Peak> peaks_of(const std::vector<Span>& spans) {
  std::vector<std::pair<Duration, int>> ends;
  for (const Span& span : spans) {
    ends.emplace_back(span.from, -1);  // sorts before an end at the same place
    ends.emplace_back(span.to, 1);
  }
  std::ranges::sort(ends);
  std::vector<Peak> peaks;
  int depth = 0;
  for (std::size_t i = 0; i < ends.size(); ++i) {
    if (ends[i].second == 1 && ends[i - 1].second == -1)
      peaks.push_back({(ends[i - 1].first + ends[i].first) / 2, depth});
    depth -= ends[i].second;
  }
  return peaks;
}

bool more_covered(const Peak& a, const Peak& b) {
  if (a.spans != b.spans) return a.spans > b.spans;
  return std::pair(std::chrono::abs(a.at), a.at) < std::pair(std::chrono::abs(b.at), b.at);
}

bool is_drift(const ClockMap::Knot& a, const ClockMap::Knot& b) {
  return std::chrono::abs(b.ahead - a.ahead) <=
         kUnsteady + std::max(a.cell, b.cell) / 2 + scaled(b.at - a.at, kMostDrift);
}

// At t, which lies before the knot `next` and not before the one before it.
Duration between(const std::vector<ClockMap::Knot>& knots, std::size_t next, Instant t) {
  if (next == 0) return knots.front().ahead;
  const ClockMap::Knot& last = knots[next - 1];
  if (next == knots.size()) return last.ahead;
  const double share = static_cast<double>((t - last.at).count()) /
                       static_cast<double>((knots[next].at - last.at).count());
  return last.ahead + scaled(knots[next].ahead - last.ahead, share);
}

}  // namespace

class ClockLearning {
 public:
  ClockLearning(std::span<const TipCell> first, std::span<const TipCell> second)
      : first_(first), second_(second) {}

  ClockMap learn() {
    for (std::size_t begin = 0, end = 0; begin < first_.size(); begin = end) {
      cell_ = longest_cell(first_[begin]);
      limits_ = cell_ < kCoarseCell ? kFine : kCoarse;
      end = begin + 1;
      while (end < first_.size() && end - begin < limits_.tips &&
             first_[end].from - first_[begin].from < limits_.span)
        ++end;
      learn_block(first_.subspan(begin, end - begin));
    }
    drop_taken_back();
    return pieces();
  }

 private:
  // Of a tip and those of the second about its time.
  Duration longest_cell(const TipCell& tip) const {
    const auto other = std::ranges::lower_bound(second_, tip.from, {}, &TipCell::from);
    const Duration cell = tip.to - tip.from;
    return other == second_.end() ? cell : std::max(cell, other->to - other->from);
  }

  void learn_block(std::span<const TipCell> block) {
    const Instant at = middle(block[block.size() / 2]);
    const Duration expected = expected_at(at);
    const std::size_t hits = count_matches(block, second_, expected);
    const bool meets = hits >= limits_.fewest_hits &&
                       2 * hits >= std::min(block.size(), tips_beside(block, expected));
    std::optional<Duration> found;
    if (!meets || knots_.empty()) found = search(block, hits);
    if (meets || found) knots_.push_back({at, refined(block, found.value_or(expected)), cell_});
  }

  // The tips of the second while this block went on.
  std::size_t tips_beside(std::span<const TipCell> block, Duration ahead) const {
    const auto from = std::ranges::lower_bound(second_, block.front().from + ahead - kSameTurn, {},
                                               &TipCell::from);
    const auto to =
        std::ranges::upper_bound(second_, block.back().to + ahead + kSameTurn, {}, &TipCell::from);
    return static_cast<std::size_t>(to - from);
  }

  // As the clocks went so far.
  Duration expected_at(Instant at) const {
    if (knots_.empty()) return Duration{0};
    const ClockMap::Knot& last = knots_.back();
    ClockMap::Knot before = last;
    for (std::size_t back = 1; back < std::min(kRateKnots, knots_.size()); ++back) {
      const ClockMap::Knot& knot = knots_[knots_.size() - 1 - back];
      if (!is_drift(knot, before) || last.at - knot.at > kLongestRate) break;
      before = knot;
    }
    if (last.at - before.at < kShortestRate) return last.ahead;
    const double rate = static_cast<double>((last.ahead - before.ahead).count()) /
                        static_cast<double>((last.at - before.at).count());
    return last.ahead + scaled(at - last.at, std::clamp(rate, -kMostDrift, kMostDrift));
  }

  std::optional<Duration> search(std::span<const TipCell> block, std::size_t hits) const {
    if (block.size() < limits_.fewest_found) return std::nullopt;
    const std::vector<Span> differences = differences_of(block);
    if (differences.size() > kMostDifferences) return std::nullopt;
    std::vector<Peak> peaks = peaks_of(differences);
    const std::size_t count = std::min(kCandidates, peaks.size());
    std::ranges::partial_sort(peaks, peaks.begin() + static_cast<std::ptrdiff_t>(count),
                              more_covered);
    peaks.resize(count);
    for (Peak& peak : peaks) peak.spans = static_cast<int>(count_matches(block, second_, peak.at));
    const auto best = std::ranges::min_element(peaks, more_covered);
    if (best == peaks.end()) return std::nullopt;
    const auto found = static_cast<std::size_t>(best->spans);
    if (found < std::max({limits_.fewest_found, (block.size() + 1) / 2, least_gain(hits)}))
      return std::nullopt;
    for (const Peak& peak : peaks)
      if (std::chrono::abs(peak.at - best->at) > 2 * (kSameTurn + cell_) &&
          peak.spans > kRunnerUp * best->spans)
        return std::nullopt;
    return best->at;
  }

  // What another difference must bring together: where none is known, any more than agreeing clocks
  // do, and by more than chance lets it.
  std::size_t least_gain(std::size_t hits) const { return knots_.empty() ? hits + 3 : 2 * hits; }

  std::vector<Span> differences_of(std::span<const TipCell> block) const {
    std::vector<Span> spans;
    for (const TipCell& tip : block) {
      if (spans.size() > kMostDifferences) break;
      auto other = std::ranges::lower_bound(second_, tip.from - kFarthest, {}, &TipCell::from);
      for (; other != second_.end() && other->from <= tip.from + kFarthest; ++other)
        spans.push_back(differences(tip, *other));
    }
    return spans;
  }

  // The difference that most of the tips that meet under `ahead` agree on.
  Duration refined(std::span<const TipCell> block, Duration ahead) const {
    std::vector<Span> spans;
    for (const TipCell& tip : block) {
      const TipCell there{tip.from + ahead - kSameTurn, tip.to + ahead + kSameTurn};
      auto other = std::ranges::lower_bound(second_, there.from - std::chrono::minutes(1), {},
                                            &TipCell::from);
      for (; other != second_.end() && other->from <= there.to; ++other)
        if (other->to >= there.from) spans.push_back(differences(tip, *other));
    }
    const std::vector<Peak> peaks = peaks_of(spans);
    GAUGELOOM_ASSERT(!peaks.empty());
    const auto nearest_most = [&](const Peak& a, const Peak& b) {
      if (a.spans != b.spans) return a.spans > b.spans;
      return std::chrono::abs(a.at - ahead) < std::chrono::abs(b.at - ahead);
    };
    return std::ranges::min(peaks, nearest_most).at;
  }

  void drop_taken_back() {
    std::vector<ClockMap::Knot> left;
    for (std::size_t k = 0; k < knots_.size(); ++k)
      if (left.empty() || k + 1 == knots_.size() || is_drift(left.back(), knots_[k]) ||
          !is_drift(left.back(), knots_[k + 1]))
        left.push_back(knots_[k]);
    knots_ = std::move(left);
  }

  ClockMap pieces() const {
    ClockMap map;
    for (std::size_t k = 0; k < knots_.size(); ++k) {
      if (k == 0)
        map.pieces_.push_back({Instant::min(), {}});
      else if (!is_drift(knots_[k - 1], knots_[k])) {
        map.sets_.push_back(set_between(knots_[k - 1], knots_[k]));
        map.pieces_.push_back({map.sets_.back().before, {}});
      }
      map.pieces_.back().knots.push_back(knots_[k]);
    }
    return map;
  }

  // The set clock between two knots: before the tip where most tips meet, earlier ones under the
  // difference of the first knot, later ones under that of the second.
  ClockSet set_between(const ClockMap::Knot& a, const ClockMap::Knot& b) const {
    const auto from = std::ranges::upper_bound(first_, a.at, {}, &TipCell::from);
    const auto to = std::ranges::lower_bound(first_, b.at, {}, &TipCell::from);
    long score = 0;
    long best = 0;
    auto split = from;
    for (auto tip = from; tip < to; ++tip) {
      const std::span one(&*tip, 1);
      score += static_cast<long>(count_matches(one, second_, a.ahead)) -
               static_cast<long>(count_matches(one, second_, b.ahead));
      if (score <= best) continue;
      best = score;
      split = tip + 1;
    }
    const Instant after = split == first_.begin() ? a.at : std::prev(split)->from;
    const auto meets_later = [&](const TipCell& tip) {
      return count_matches(std::span(&tip, 1), second_, b.ahead) > 0;
    };
    const auto next = std::find_if(split, to, meets_later);
    return {after, next == to ? b.at : next->from, b.ahead - a.ahead};
  }

  std::span<const TipCell> first_;
  std::span<const TipCell> second_;
  std::vector<ClockMap::Knot> knots_;
  Duration cell_{0};  // of this block
  BlockLimits limits_ = kFine;
};

Duration ClockMap::ahead(Instant t) const {
  if (pieces_.empty()) return Duration{0};
  const auto piece = std::ranges::upper_bound(pieces_, t, {}, &Piece::from);
  const std::vector<Knot>& knots = std::prev(piece)->knots;  // the first is there from ever
  const auto next = std::ranges::upper_bound(knots, t, {}, &Knot::at);
  return between(knots, static_cast<std::size_t>(next - knots.begin()), t);
}

std::vector<TipCell> ClockMap::onto_second(std::span<const TipCell> cells) const {
  if (pieces_.empty()) return {cells.begin(), cells.end()};
  std::vector<TipCell> mapped;
  mapped.reserve(cells.size());
  Instant latest = Instant::min();
  std::size_t piece = 0;
  std::size_t next = 0;  // of its knots, the first after the cell
  for (const TipCell& cell : cells) {
    for (; piece + 1 < pieces_.size() && pieces_[piece + 1].from <= cell.from; ++piece) next = 0;
    const std::vector<Knot>& knots = pieces_[piece].knots;
    while (next < knots.size() && knots[next].at <= cell.from) ++next;
    const Duration by = between(knots, next, cell.from);
    latest = std::max(latest, cell.from + by);
    mapped.push_back({latest, std::max(latest, cell.to + by)});
  }
  return mapped;
}

ClockMap learn_clock_map(std::span<const TipCell> first, std::span<const TipCell> second) {
  return ClockLearning(first, second).learn();
}

}  // namespace gaugeloom
