#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "report/page_data_internal.hpp"
#include "support/report_case.hpp"

namespace gaugeloom {
namespace {

using Json = nlohmann::ordered_json;

ReplayedDecision decided(DecisionOutcome outcome, Verdict verdict) {
  const support::ReportCase& one = support::report_case();
  ReplayedDecision replayed;
  replayed.decision.finding_id = page_view(one.input()).finding_ids.front();
  replayed.decision.gauge = one.checked.findings.front().gauge;
  replayed.decision.from = one.checked.findings.front().from;
  replayed.decision.verdict = verdict;
  replayed.decision.shift_minutes = verdict == Verdict::shift ? 60 : 0;
  replayed.decision.reason = "<b>seen on site</b>";
  replayed.decision.by = "A. Hydrologist";
  replayed.decision.on = "2023-06-20";
  replayed.decision.evidence_hash = "20230601T0000Z-0123456789abcdef";
  replayed.outcome = outcome;
  replayed.why = "because";
  return replayed;
}

std::string new_part(const ReportInput& input) {
  const std::string page = report_page(input);
  const std::size_t from = page.find("<section id=\"new\"");
  if (from == std::string::npos) return {};
  return page.substr(from, page.find("</section>", from) - from);
}

TEST(NewPart, IsThereOnlyWhereThereIsSomethingToCompareWith) {
  ReportInput input = support::report_case().input();
  EXPECT_EQ(new_part(input), "");
  input.has_last_run = true;
  EXPECT_NE(new_part(input).find("Nothing has changed"), std::string::npos);
}

TEST(NewPart, TellsDecisionsThatDoNotHoldFirst) {
  const std::vector<ReplayedDecision> decisions = {
      decided(DecisionOutcome::applied, Verdict::shift),
      decided(DecisionOutcome::stale, Verdict::reject)};
  ReportInput input = support::report_case().input();
  input.decisions = decisions;
  const std::string part = new_part(input);
  EXPECT_NE(part.find("2 decisions: 1 applied, 1 stale"), std::string::npos);
  EXPECT_LT(part.find(">reject<"), part.find(">shift<"));
  EXPECT_NE(part.find(">60<"), std::string::npos);
  EXPECT_NE(part.find("&lt;b&gt;seen on site&lt;/b&gt;"), std::string::npos);
  EXPECT_NE(part.find("href=\"#finding-"), std::string::npos);
}

TEST(NewPart, TellsChangesInWords) {
  const FindingChange change{"gone-id", "G9", FindingKind::reads_low, Change::gone, "It is gone."};
  ReportInput input = support::report_case().input();
  input.has_last_run = true;
  input.changes = {&change, 1};
  const std::string part = new_part(input);
  EXPECT_NE(part.find("gone-id"), std::string::npos);
  EXPECT_NE(part.find("reads low"), std::string::npos);
  EXPECT_NE(part.find("It is gone."), std::string::npos);
}

// The page saves them again as they were.
TEST(NewPart, HandsDecisionsOnToTheScripts) {
  const std::vector<ReplayedDecision> decisions = {
      decided(DecisionOutcome::applied, Verdict::shift)};
  std::vector<FindingReview> reviews(support::report_case().checked.findings.size());
  reviews[0].evidence_hash = "20230601T0000Z-fedcba9876543210";
  reviews[0].decision = "shifted by 60 minutes by A. Hydrologist on 2023-06-20";
  ReportInput input = support::report_case().input();
  input.decisions = decisions;
  input.reviews = reviews;
  const Json data = Json::parse(page_data(page_view(input)));
  const Json& one = data["decisions"][0];
  EXPECT_EQ(one["verdict"], "shift");
  EXPECT_EQ(one["shift_minutes"], "60");
  EXPECT_EQ(one["to"], "");
  EXPECT_EQ(one["reason"], "<b>seen on site</b>");
  EXPECT_EQ(one["outcome"], "applied");
  EXPECT_EQ(data["findings"][0]["evidence_hash"], "20230601T0000Z-fedcba9876543210");
  EXPECT_NE(report_page(input).find("shifted by 60 minutes by A. Hydrologist"), std::string::npos);
}

TEST(WettestStorms, AreThoseWithTheLargestMeansByTime) {
  std::vector<StormOverview> storms(4);
  const double means[] = {3, std::numeric_limits<double>::quiet_NaN(), 9, 5};
  for (std::size_t i = 0; i < 4; ++i) storms[i].mean_mm = means[i];
  EXPECT_EQ(wettest_storms(storms, 2), (std::vector<std::size_t>{2, 3}));
  EXPECT_EQ(wettest_storms(storms, 9), (std::vector<std::size_t>{0, 1, 2, 3}));
  EXPECT_TRUE(wettest_storms({}, 2).empty());
  EXPECT_EQ(most_storms_in_detail(40), 24U);
  EXPECT_EQ(most_storms_in_detail(500), 12U);
  EXPECT_EQ(most_storms_in_detail(100000), 6U);
}

}  // namespace
}  // namespace gaugeloom
