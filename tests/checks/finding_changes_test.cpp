#include "gaugeloom/checks/finding_changes.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

Instant at(std::string_view text) { return parse_iso8601(text)->utc(); }

ToldFinding finding(const std::string& gauge, const std::string& day,
                    FindingKind kind = FindingKind::blocked) {
  return {gauge + "-" + std::string(word(kind)) + "-" + day,
          gauge,
          kind,
          Tier::provisional,
          at(day),
          {},
          {}};
}

// "id change", one per row.
std::vector<std::string> rows(const Told& last, const Told& now) {
  std::vector<std::string> out;
  for (const FindingChange& one : finding_changes(last, now))
    out.push_back(one.finding_id + " " + std::string(word(one.change)));
  return out;
}
using Rows = std::vector<std::string>;

TEST(FindingChanges, AreNoneBetweenARunAndItself) {
  Told told;
  told.findings = {finding("A", "2024-03-01"), finding("B", "2024-03-02")};
  told.findings[0].decision = "accepted by me on 2024-03-05";
  told.settled = {{finding("C", "2024-03-01"), "hail"}};
  told.settled[0].finding.decision = "rejected by me on 2024-03-05";
  EXPECT_EQ(rows(told, told), Rows{});
  EXPECT_EQ(rows({}, {}), Rows{});
}

TEST(FindingChanges, TellWhatCameAndWent) {
  Told last, now;
  last.findings = {finding("A", "2024-03-01")};
  now.findings = {finding("B", "2024-03-01")};
  EXPECT_EQ(rows(last, now), (Rows{"A-blocked-2024-03-01 gone", "B-blocked-2024-03-01 new"}));
  EXPECT_EQ(finding_changes(last, now)[1].sentence, "A new finding, provisional, and lasting.");
}

TEST(FindingChanges, TellHowAFindingGrew) {
  Told last, now;
  last.findings = {finding("A", "2024-03-01")};
  now = last;
  now.findings[0].to = at("2024-03-04");
  now.findings[0].tier = Tier::confirmed;
  EXPECT_EQ(rows(last, now), (Rows{"A-blocked-2024-03-01 ended", "A-blocked-2024-03-01 surer"}));
  EXPECT_EQ(rows(now, last),
            (Rows{"A-blocked-2024-03-01 lasts_again", "A-blocked-2024-03-01 weaker"}));
  EXPECT_EQ(finding_changes(last, now)[0].sentence, "It ended at 2024-03-04T00:00:00Z.");
}

TEST(FindingChanges, KnowAFindingWithAnotherBeginningAgain) {
  Told last, now;
  last.findings = {finding("A", "2024-03-01"), finding("B", "2024-03-01")};
  last.findings[0].to = at("2024-03-05");
  now.findings = {finding("A", "2024-03-02"), finding("B", "2024-03-01", FindingKind::stuck)};
  EXPECT_EQ(rows(last, now),
            (Rows{"A-blocked-2024-03-02 begins_anew", "A-blocked-2024-03-02 lasts_again",
                  "B-blocked-2024-03-01 gone", "B-stuck-2024-03-01 new"}));
  EXPECT_EQ(finding_changes(last, now)[0].sentence,
            "It was told as beginning at 2024-03-01T00:00:00Z (A-blocked-2024-03-01).");
}

TEST(FindingChanges, TellADecisionOnce) {
  Told last, now;
  last.findings = {finding("A", "2024-03-01"), finding("B", "2024-03-01")};
  now = last;
  now.findings[0].decision = "accepted by me on 2024-03-05";
  now.settled = {{now.findings[1], "hail"}};
  now.settled[0].finding.decision = "rejected by me on 2024-03-05";
  now.findings.pop_back();
  EXPECT_EQ(rows(last, now),
            (Rows{"A-blocked-2024-03-01 decided", "B-blocked-2024-03-01 decided"}));
  EXPECT_EQ(finding_changes(last, now)[1].sentence, "It was rejected by me on 2024-03-05: hail");
  EXPECT_EQ(rows(now, now), Rows{});
  // Both are taken back, or went stale.
  EXPECT_EQ(rows(now, last),
            (Rows{"A-blocked-2024-03-01 asked_again", "B-blocked-2024-03-01 asked_again"}));
  // What was rejected and is not found any more needs nobody's attention.
  Told later = now;
  later.settled.clear();
  EXPECT_EQ(rows(now, later), Rows{});
}

TEST(FindingChanges, DoNotDependOnTheOrderOfTheLists) {
  Told last, now;
  last.findings = {finding("A", "2024-03-01"), finding("B", "2024-03-01"),
                   finding("B", "2024-03-09")};
  now.findings = {finding("C", "2024-03-01"), finding("B", "2024-03-02"),
                  finding("A", "2024-02-01")};
  const Rows before = rows(last, now);
  EXPECT_FALSE(before.empty());
  std::ranges::reverse(last.findings);
  std::ranges::reverse(now.findings);
  EXPECT_EQ(rows(last, now), before);
}

}  // namespace
}  // namespace gaugeloom
