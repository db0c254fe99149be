#include "gaugeloom/io/decision_reader.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/time/iso8601.hpp"
#include "support/rain_text.hpp"
#include "support/refusal.hpp"

namespace gaugeloom {
namespace {

constexpr const char* kHeader =
    "finding_id,gauge,from,to,verdict,shift_minutes,reason,by,on,evidence_hash\n";

std::vector<Decision> parsed(const std::string& rows, Notices& notices, bool strict = false) {
  return parse_decisions(kHeader + rows, "decisions.csv", support::network_of({"A", "B-1"}), strict,
                         notices);
}

std::string refusal(const std::string& rows, bool strict = false) {
  Notices notices;
  return support::refusal_of("decisions.csv", [&] { parsed(rows, notices, strict); });
}

// A row with one thing about it another one.
std::string row(const std::string& id, const std::string& verdict, const std::string& minutes,
                const std::string& reason = "why", const std::string& by = "me",
                const std::string& on = "2024-03-05", const std::string& evidence = "") {
  return id + ",A,2024-03-01T00:00:00Z,2024-03-02T00:00:00Z," + verdict + "," + minutes + "," +
         reason + "," + by + "," + on + "," + evidence + "\n";
}
constexpr const char* kId = "A-blocked-20240301T0000Z";

TEST(DecisionReader, ReadsEveryVerdict) {
  Notices notices;
  const auto decisions = parsed(
      "A-blocked-20240301T0000Z,A,2024-03-01T00:00:00Z,2024-03-02T01:00+01:00,accept,,"
      "\"leaves, seen\",N. Reviewer,2024-03-05,20240301T1200Z-0123456789abcdef\n"
      "B-1-phantom_rain-20240301T0000Z,B-1,2024-03-01T00:00:00Z,,reject,,hail,N. Reviewer,"
      "2024-03-05T10:00Z,\n"
      "A-clock_offset-20240401T0000Z,A,2024-04-01T00:00:00Z,,shift,60,summer time,N. Reviewer,"
      "2024-03-05,\n",
      notices);
  ASSERT_EQ(decisions.size(), 3U);
  EXPECT_EQ(decisions[0].finding_id, kId);
  EXPECT_EQ(decisions[0].gauge, 0U);
  EXPECT_EQ(decisions[0].kind, FindingKind::blocked);
  EXPECT_EQ(format_utc(decisions[0].from), "2024-03-01T00:00:00Z");
  EXPECT_EQ(format_utc(*decisions[0].to), "2024-03-02T00:00:00Z");
  EXPECT_EQ(decisions[0].verdict, Verdict::accept);
  EXPECT_EQ(decisions[0].reason, "leaves, seen");
  EXPECT_EQ(decisions[0].by, "N. Reviewer");
  EXPECT_EQ(decisions[0].on, "2024-03-05");
  EXPECT_EQ(decisions[0].evidence_hash, "20240301T1200Z-0123456789abcdef");
  EXPECT_EQ(decisions[1].gauge, 1U);
  EXPECT_EQ(decisions[1].kind, FindingKind::phantom_rain);
  EXPECT_FALSE(decisions[1].to);
  EXPECT_EQ(decisions[1].verdict, Verdict::reject);
  EXPECT_EQ(decisions[2].verdict, Verdict::shift);
  EXPECT_EQ(decisions[2].shift_minutes, 60);
  EXPECT_EQ(decisions[2].written.line, 4);
  EXPECT_TRUE(notices.empty());
}

TEST(DecisionReader, ReadsWhatASpreadsheetSaves) {
  Notices notices;
  const auto decisions = parse_decisions(
      "\xEF\xBB\xBF"
      "by,on,verdict,finding_id,gauge,from,reason,remark\r\n"
      "me,2024-03-05,reject,A-blocked-20240301T0000Z,A,2024-03-01 00:00,why,own\r\n",
      "decisions.csv", support::network_of({"A"}), true, notices);
  ASSERT_EQ(decisions.size(), 1U);
  EXPECT_EQ(decisions[0].verdict, Verdict::reject);
  EXPECT_TRUE(decisions[0].evidence_hash.empty());
}

TEST(DecisionReader, CountsTheSameRowTwiceOnce) {
  Notices notices;
  EXPECT_EQ(parsed(row(kId, "accept", "") + row(kId, "accept", ""), notices).size(), 1U);
  EXPECT_EQ(refusal(row(kId, "accept", "") + row(kId, "reject", "")),
            "decisions.csv:3:1: finding 'A-blocked-20240301T0000Z' was decided otherwise in line "
            "2; keep one of the two rows");
}

TEST(DecisionReader, RefusesWhatCannotBeMeant) {
  EXPECT_EQ(refusal(row(kId, "maybe", "")),
            "decisions.csv:2:70: 'maybe' is no verdict; write accept, reject or shift");
  EXPECT_EQ(refusal(row(kId, "shift", "")),
            "decisions.csv:2:76: a shift needs shift_minutes: how much later than true the rain is "
            "stamped");
  EXPECT_EQ(refusal(row(kId, "accept", "60")),
            "decisions.csv:2:77: only a shift has shift_minutes; leave it empty, or write shift");
  EXPECT_NE(refusal(row(kId, "shift", "0")).find("shift_minutes '0' is out of range"),
            std::string::npos);
  EXPECT_NE(refusal(row(kId, "shift", "1e9")).find("is out of range"), std::string::npos);
  EXPECT_NE(refusal(row(kId, "accept", "", "")).find("reason is empty; fill it in"),
            std::string::npos);
  EXPECT_NE(refusal(row(kId, "accept", "", "why", "")).find("by is empty; fill it in"),
            std::string::npos);
  EXPECT_NE(refusal(row(kId, "accept", "", "why", "me", "")).find("on is empty; fill it in"),
            std::string::npos);
  EXPECT_NE(refusal(row(kId, "accept", "", "why", "me", "5 March")).find("is no date"),
            std::string::npos);
  for (const char* word : {"1", "0123456789abcdef", "20240301T1200Z-0123456789abcdeG",
                           "20240301T1200Z-0123456789abcde", "20240331T9900Z-0123456789abcdef"})
    EXPECT_NE(refusal(row(kId, "accept", "", "why", "me", "2024-03-05", word))
                  .find("is no evidence_hash; copy it from findings.csv"),
              std::string::npos)
        << word;
}

TEST(DecisionReader, RefusesWordsThatASpreadsheetWouldRun) {
  EXPECT_EQ(refusal(row(kId, "accept", "", "=1+1")),
            "decisions.csv:2:78: '=1+1' would be run as a formula by a spreadsheet; begin it with "
            "a letter or a digit");
  for (const char* words : {"+1", "-1", "@a", "\"\tb\""}) {
    SCOPED_TRACE(words);
    EXPECT_NE(refusal(row(kId, "accept", "", words)).find("run as a formula"), std::string::npos);
    EXPECT_NE(refusal(row(kId, "accept", "", "why", words)).find("run as a formula"),
              std::string::npos);
  }
  Notices notices;
  EXPECT_EQ(parsed(row(kId, "accept", "", "a = b", "M-E"), notices).size(), 1U);
}

TEST(DecisionReader, RefusesFindingIdsThatAreNone) {
  EXPECT_EQ(refusal(row("B-1-blocked-20240301T0000Z", "accept", "")),
            "decisions.csv:2:1: finding_id 'B-1-blocked-20240301T0000Z' is not one of gauge 'A'; "
            "copy both from findings.csv");
  for (const char* id :
       {"A-blocked", "A-blocked-", "A-odd-20240301T0000Z", "A-", "A--20240301T0000Z",
        "A-blocked-2024-03-01T00:00Z", "A-blocked-20240301T0000Z-"})
    EXPECT_NE(refusal(row(id, "accept", "")).find("is no finding_id"), std::string::npos) << id;
}

TEST(DecisionReader, LeavesOutUnlistedGauges) {
  const std::string unlisted =
      "Z-blocked-20240301T0000Z,Z,2024-03-01T00:00:00Z,,accept,,why,me,2024-03-05,\n";
  Notices notices;
  EXPECT_TRUE(parsed(unlisted, notices).empty());
  EXPECT_EQ(notices,
            (Notices{"decisions.csv: left out 1 rows of gauges that are not in the gauge list"}));
  EXPECT_NE(refusal(unlisted, true).find("gauge 'Z' is not in the gauge list"), std::string::npos);
}

}  // namespace
}  // namespace gaugeloom
