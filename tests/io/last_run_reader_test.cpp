// What a run writes of findings, decisions and changes, and what the next run reads of it.
#include "gaugeloom/io/last_run_reader.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/io/changes_writer.hpp"
#include "gaugeloom/io/decision_reader.hpp"
#include "gaugeloom/io/decisions_replayed_writer.hpp"
#include "gaugeloom/io/findings_writer.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "support/rain_text.hpp"
#include "support/refusal.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

Instant at(std::string_view text) { return parse_iso8601(text)->utc(); }

Finding finding(std::size_t gauge, FindingKind kind) {
  Finding out;
  out.gauge = gauge;
  out.kind = kind;
  out.tier = Tier::confirmed;
  out.from = at("2024-03-01T00:00Z");
  out.called = at("2024-03-02T00:00Z");
  out.score = 7.25;
  out.reason = "Not a tip, \"they said\".";
  return out;
}

ReplayedDecision replayed(const Network& network, const Finding& found, Verdict verdict) {
  ReplayedDecision one;
  one.decision.finding_id = finding_id(network.gauges[found.gauge].id, found);
  one.decision.gauge = found.gauge;
  one.decision.kind = found.kind;
  one.decision.from = found.from;
  one.decision.verdict = verdict;
  one.decision.shift_minutes = verdict == Verdict::shift ? -0.5 : 0;
  one.decision.reason = "SUM(1,2), \"quoted\"";
  one.decision.by = "N. R.";
  one.decision.on = "2024-03-05";
  one.decision.evidence_hash = "20240302T0000Z-0123456789abcdef";
  one.outcome = DecisionOutcome::applied;
  one.why = "So, it is.";
  one.found = found;
  one.evidence_hash = one.decision.evidence_hash;
  return one;
}

struct Files {
  support::TemporaryFolder folder;
  Network network = support::network_of({"A", "<b>,\"C\""});
  std::vector<Finding> findings = {finding(0, FindingKind::blocked)};
  std::vector<FindingReview> reviews = {{"A-blocked-20240301T0000Z",
                                         "20240302T0000Z-0123456789abcdef",
                                         "accepted by me on 2024-03-05"}};
  std::vector<ReplayedDecision> decisions = {
      replayed(network, finding(0, FindingKind::blocked), Verdict::accept),
      replayed(network, finding(1, FindingKind::stuck), Verdict::reject),
      replayed(network, finding(1, FindingKind::clock_offset), Verdict::shift)};

  void write() const {
    AtomicFile of_findings(folder / "findings.csv");
    write_findings(of_findings, findings, network, reviews);
    of_findings.commit();
    AtomicFile of_decisions(folder / "decisions_replayed.csv");
    write_decisions_replayed(of_decisions, decisions, network);
    of_decisions.commit();
  }
};

TEST(LastRunReader, ReadsWhatTheRunWrote) {
  Files files;
  files.write();
  const Told last = read_last_run(files.folder.path());
  const Told now = told(files.findings, files.reviews, files.decisions, files.network);
  ASSERT_EQ(last.findings.size(), 1U);
  EXPECT_EQ(last.findings[0].finding_id, "A-blocked-20240301T0000Z");
  EXPECT_EQ(last.findings[0].tier, Tier::confirmed);
  EXPECT_FALSE(last.findings[0].to);
  EXPECT_EQ(last.findings[0].decision, files.reviews[0].decision);
  ASSERT_EQ(last.settled.size(), 2U);  // the accepted one is among the findings
  EXPECT_EQ(last.settled[0].finding.gauge, "<b>,\"C\"");
  EXPECT_EQ(last.settled[0].finding.kind, FindingKind::stuck);
  EXPECT_EQ(last.settled[0].finding.decision, "rejected by N. R. on 2024-03-05");
  EXPECT_EQ(last.settled[0].reason, "SUM(1,2), \"quoted\"");
  EXPECT_EQ(last.settled[1].finding.decision, "shifted by -0.5 minutes by N. R. on 2024-03-05");
  EXPECT_TRUE(finding_changes(last, now).empty());
}

TEST(LastRunReader, LeavesAFileThatIsReadAsDecisionsAgain) {
  const Files files;
  files.write();
  Notices notices;
  const auto again =
      read_decisions(files.folder / "decisions_replayed.csv", files.network, true, notices);
  ASSERT_EQ(again.size(), files.decisions.size());
  for (std::size_t i = 0; i < again.size(); ++i)
    EXPECT_TRUE(same_decision(again[i], files.decisions[i].decision)) << i;
}

TEST(LastRunReader, ReadsARunWithoutDecisions) {
  const support::TemporaryFolder folder;
  folder.write("findings.csv",
               "finding_id,gauge,from,to,finding,tier\n"
               "A-stuck-20240301T0000Z,A,2024-03-01T00:00:00Z,2024-03-02T00:00:00Z,stuck,"
               "provisional\n");
  EXPECT_EQ(last_run_files(folder.path()).size(), 1U);
  const Told last = read_last_run(folder.path());
  ASSERT_EQ(last.findings.size(), 1U);
  EXPECT_EQ(last.findings[0].decision, "");
  EXPECT_EQ(last.findings[0].to, at("2024-03-02T00:00Z"));
}

TEST(LastRunReader, RefusesWhatNoRunWrote) {
  const support::TemporaryFolder folder;
  const auto refusal = [&] {
    return support::refusal_of("findings.csv", [&] { read_last_run(folder.path()); });
  };
  EXPECT_NE(refusal().find("cannot be read"), std::string::npos);
  folder.write("findings.csv", "finding_id,gauge\n");
  EXPECT_NE(refusal().find("no column 'from'"), std::string::npos);
  const std::string header = "finding_id,gauge,from,to,finding,tier\n";
  folder.write("findings.csv", header + "x,A,2024-03-01T00:00:00Z,,odd,provisional\n");
  EXPECT_EQ(refusal(),
            "findings.csv:2:27: 'odd' is no finding; name the folder of an earlier run as it was "
            "left");
  folder.write("findings.csv", header + "x,A,2024-03-01T00:00:00Z,,stuck,sure\n");
  EXPECT_NE(refusal().find("'sure' is no tier"), std::string::npos);
}

TEST(ChangesWriter, WritesARowPerChange) {
  const support::TemporaryFolder folder;
  AtomicFile file(folder / "changes.csv");
  write_changes(file, std::vector<FindingChange>{
                          {"A-stuck-x", "A", FindingKind::stuck, Change::new_finding, "So, new."},
                          {"A-stuck-x", "A", FindingKind::stuck, Change::asked_again, "Open."}});
  file.commit();
  EXPECT_EQ(support::read_file(folder / "changes.csv"),
            "finding_id,gauge,finding,change,sentence\n"
            "A-stuck-x,A,stuck,new,\"So, new.\"\n"
            "A-stuck-x,A,stuck,asked_again,Open.\n");
}

}  // namespace
}  // namespace gaugeloom
