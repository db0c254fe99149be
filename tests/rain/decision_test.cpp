#include "gaugeloom/rain/decision.hpp"

#include <gtest/gtest.h>

namespace gaugeloom {
namespace {

Decision made(Verdict verdict) {
  Decision decision;
  decision.finding_id = "A-blocked-20240301T0000Z";
  decision.verdict = verdict;
  decision.reason = "seen on site";
  decision.by = "N. Reviewer";
  decision.on = "2024-03-05";
  return decision;
}

TEST(Decision, SaysInShortWhoDecidedWhatAndWhen) {
  EXPECT_EQ(in_short(made(Verdict::accept)), "accepted by N. Reviewer on 2024-03-05");
  EXPECT_EQ(in_short(made(Verdict::reject)), "rejected by N. Reviewer on 2024-03-05");
  Decision shift = made(Verdict::shift);
  shift.shift_minutes = -90;
  EXPECT_EQ(in_short(shift), "shifted by -90 minutes by N. Reviewer on 2024-03-05");
}

TEST(Decision, ReadsItsOwnWords) {
  for (const Verdict verdict : {Verdict::accept, Verdict::reject, Verdict::shift})
    EXPECT_EQ(parse_verdict(word(verdict)), verdict);
  EXPECT_FALSE(parse_verdict("Accept"));
  EXPECT_FALSE(parse_verdict(""));
}

TEST(Decision, IsTheSameWhereverItWasRead) {
  const Decision one = made(Verdict::accept);
  Decision other = one;
  other.written = {"decisions.csv", 7, 1};
  EXPECT_TRUE(same_decision(one, other));
  other.reason = "seen twice";
  EXPECT_FALSE(same_decision(one, other));
}

}  // namespace
}  // namespace gaugeloom
