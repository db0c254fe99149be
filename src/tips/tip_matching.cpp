#include "gaugeloom/tips/tip_matching.hpp"

#include <algorithm>
#include <cstdint>

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {
namespace {

constexpr std::size_t kMostCompared = 1024;
constexpr std::chrono::minutes kLongestCell{1};

enum class Move : std::uint8_t { leave_first, leave_second, match };

// What is gained by the best matching of the first i tips of one train and the first j of the
// other, in rows of i that hold only the j that matter: those from `begin` on, the last of which
// stands for all beyond.
struct Row {
  std::size_t begin = 0;
  std::vector<std::int64_t> gains{0};
  std::int64_t at(std::size_t j) const { return gains[std::min(j - begin, gains.size() - 1)]; }
};

class Matching {
 public:
  Matching(std::span<const TipCell> first, std::span<const TipCell> second, Duration within)
      : first_(first), second_(second), within_(within) {}

  TipMatching make() {
    for (std::size_t i = 0; i < first_.size(); ++i) add_row(i);
    return trace();
  }

 private:
  // Of tip i: the moves into (i + 1, j) for j from begins_[i] on.
  void add_row(std::size_t i) {
    const TipCell& tip = first_[i];
    if (high_ - low_ == kMostCompared) ++low_;  // along with the tips, where it is too crowded
    while (low_ < second_.size() && second_[low_].to + within_ < tip.from) ++low_;
    high_ = std::max(high_, low_);
    while (high_ < second_.size() && high_ - low_ < kMostCompared &&
           second_[high_].from <= tip.to + within_)
      ++high_;
    next_.begin = low_;
    next_.gains.assign(1, row_.at(low_));
    begins_.push_back(low_);
    starts_.push_back(moves_.size());
    moves_.push_back(Move::leave_first);
    for (std::size_t j = low_ + 1; j <= high_; ++j) add_cell(tip, j);
    std::swap(row_, next_);
  }

  void add_cell(const TipCell& tip, std::size_t j) {
    std::int64_t best = row_.at(j);
    Move move = Move::leave_first;
    if (next_.gains.back() > best) {
      best = next_.gains.back();
      move = Move::leave_second;
    }
    const Duration gap = gap_between(tip, second_[j - 1]);
    if (const std::int64_t gain = row_.at(j - 1) + (2 * within_ - gap).count();
        gap <= within_ && gain > best) {
      best = gain;
      move = Move::match;
    }
    next_.gains.push_back(best);
    moves_.push_back(move);
  }

  TipMatching trace() const {
    TipMatching matching;
    matching.of_first.assign(first_.size(), kNoPartner);
    matching.of_second.assign(second_.size(), kNoPartner);
    std::size_t j = second_.size();
    for (std::size_t i = first_.size(); i-- > 0;) {
      const std::size_t end = i + 1 < starts_.size() ? starts_[i + 1] : moves_.size();
      j = std::min(j, begins_[i] + (end - starts_[i] - 1));
      while (moves_[starts_[i] + (j - begins_[i])] == Move::leave_second) --j;
      if (moves_[starts_[i] + (j - begins_[i])] != Move::match) continue;
      --j;
      matching.of_first[i] = j;
      matching.of_second[j] = i;
    }
    return matching;
  }

  std::span<const TipCell> first_;
  std::span<const TipCell> second_;
  Duration within_;
  std::size_t low_ = 0;   // what lies before it is too early for this tip of first
  std::size_t high_ = 0;  // and from here on too late
  Row row_, next_;
  std::vector<std::size_t> begins_;  // by tip of first
  std::vector<std::size_t> starts_;  // in moves_
  std::vector<Move> moves_;
};

}  // namespace

Duration gap_between(const TipCell& a, const TipCell& b) {
  return std::max({Duration{0}, a.from - b.to, b.from - a.to});
}

std::size_t TipMatching::both() const {
  return of_first.size() - static_cast<std::size_t>(std::ranges::count(of_first, kNoPartner));
}

TipMatching match_tips(std::span<const TipCell> first, std::span<const TipCell> second,
                       Duration within) {
  GAUGELOOM_ASSERT(within > Duration{0});
  return Matching(first, second, within).make();
}

std::size_t count_matches(std::span<const TipCell> first, std::span<const TipCell> second,
                          Duration ahead, Duration within) {
  if (first.empty()) return 0;
  const Instant begin = first.front().from + ahead - within - kLongestCell;
  auto other = std::ranges::lower_bound(second, begin, {}, &TipCell::from);
  std::size_t matches = 0;
  for (auto tip = first.begin(); tip != first.end() && other != second.end();) {
    if (other->to + within < tip->from + ahead) {
      ++other;
    } else if (tip->to + ahead + within < other->from) {
      ++tip;
    } else {
      ++matches;
      ++tip;
      ++other;
    }
  }
  return matches;
}

}  // namespace gaugeloom
