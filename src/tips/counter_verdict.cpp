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
constexpr std::size_t kAlikePart = 50;    // one tip in 50 is less than neighbours can tell
constexpr std::size_t kPairedPart = 5;    // rows of two or more beside a second count: one in five

bool is_alike(std::size_t a, std::size_t b) {
  return std::max(a, b) - std::min(a, b) <= std::max<std::size_t>(1, std::max(a, b) / kAlikePart);
}

// How far a count is from what was expected, whichever is more; half a tip is what 0 may hide.
double distance(std::size_t tips, double expected_tips) {
  const double own = static_cast<double>(tips) + 0.5;
  const double expected = expected_tips + 0.5;
  return std::max(own / expected, expected / own);
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
  if (is_alike(usual.tips, other.tips)) return {false, CounterReason::agree};
  const bool other_longer = other.tips > usual.tips;
  const CounterTally& longer = other_longer ? other : usual;
  const CounterTally& shorter = other_longer ? usual : other;
  if (is_twice(longer.tips, shorter.tips) && kPairedPart * longer.in_pairs <= longer.alone)
    return {!other_longer, CounterReason::counts_twice};
  if (2 * longer.in_dead_rows >= longer.tips - shorter.tips)
    return {other_longer, CounterReason::dead_link};
  if (std::isnan(expected_tips)) return {false, CounterReason::undecided};
  const double of_usual = distance(usual.tips, expected_tips);
  const double of_other = distance(other.tips, expected_tips);
  if (of_usual == of_other) return {false, CounterReason::undecided};
  return {of_other < of_usual, CounterReason::neighbours};
}

}  // namespace gaugeloom
