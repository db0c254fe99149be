#include "gaugeloom/tips/counter_verdict.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace gaugeloom {
namespace {

constexpr std::array<std::string_view, 5> kReasonWords = {"agree", "dead_link", "counts_twice",
                                                          "neighbours", "undecided"};
constexpr double kTwiceFrom = 1.8;  // our choice: what counts twice misses a few of its seconds
constexpr double kTwiceTo = 2.2;
constexpr std::size_t kFewestTwice = 20;  // tips of the other, for the ratio to mean anything
constexpr std::size_t kAlikeTips = 2;     // less than neighbours can tell, as is one in 20
constexpr std::size_t kAlikePart = 20;
constexpr double kNearEnough = 2;       // neighbours that are farther from both speak of other rain
constexpr double kClearly = 1.25;       // that one is nearer
constexpr std::size_t kPairedPart = 5;  // rows of two or more beside a second count: one in five

bool is_alike(std::size_t a, std::size_t b) {
  return std::max(a, b) - std::min(a, b) <= std::max(kAlikeTips, std::max(a, b) / kAlikePart);
}

// How far a count is from what was expected, whichever is more; half a tip is what 0 may hide.
double distance(std::size_t tips, double expected_tips) {
  const double own = static_cast<double>(tips) + 0.5;
  const double expected = expected_tips + 0.5;
  return std::max(own / expected, expected / own);
}

// False for an expectation that is NaN.
bool neighbours_tell(std::size_t a, std::size_t b, double expected_tips) {
  const double of_a = distance(a, expected_tips);
  const double of_b = distance(b, expected_tips);
  return std::min(of_a, of_b) <= kNearEnough &&
         std::max(of_a, of_b) >= kClearly * std::min(of_a, of_b);
}

}  // namespace

std::string_view word(CounterReason reason) {
  return kReasonWords[static_cast<std::size_t>(reason)];
}

bool is_twice(std::size_t tips, std::size_t other) {
  if (other < kFewestTwice) return false;
  const double ratio = static_cast<double>(tips) / static_cast<double>(other);
  return ratio >= kTwiceFrom && ratio <= kTwiceTo;
}

CounterVerdict judge_spell(const CounterTally& usual, const CounterTally& other,
                           double expected_tips) {
  if (usual.doubles != other.doubles) return {usual.doubles, CounterReason::counts_twice};
  if (usual.tips == other.tips) return {false, CounterReason::agree};
  const bool other_longer = other.tips > usual.tips;
  const CounterTally& longer = other_longer ? other : usual;
  const CounterTally& shorter = other_longer ? usual : other;
  if (2 * longer.in_dead_rows >= longer.tips - shorter.tips)
    return {other_longer, CounterReason::dead_link};
  if (is_alike(usual.tips, other.tips)) return {false, CounterReason::agree};
  if (is_twice(longer.tips, shorter.tips) && kPairedPart * longer.in_pairs <= longer.alone)
    return {!other_longer, CounterReason::counts_twice};
  if (!neighbours_tell(usual.tips, other.tips, expected_tips))
    return {false, CounterReason::undecided};
  return {distance(other.tips, expected_tips) < distance(usual.tips, expected_tips),
          CounterReason::neighbours};
}

}  // namespace gaugeloom
