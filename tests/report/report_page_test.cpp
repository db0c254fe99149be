#include "gaugeloom/report/report_page.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "report/page_parts_internal.hpp"
#include "support/report_case.hpp"

namespace gaugeloom {
namespace {

std::size_t count_of(const std::string& text, const std::string& part) {
  std::size_t count = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1))
    ++count;
  return count;
}

const std::string& page() {
  static const std::string one = report_page(support::report_case().input());
  return one;
}

TEST(ReportPage, ShowsHostileNamesAsText) {
  EXPECT_EQ(count_of(page(), "<script"), 4U);  // the data and three scripts
  EXPECT_EQ(count_of(page(), "alert(1)</script>"), 0U);
  EXPECT_EQ(count_of(page(), "<img"), 0U);
  EXPECT_EQ(count_of(page(), "<i>"), 0U);
  EXPECT_EQ(count_of(page(), "\u202E"), 0U);
  const std::string shown =
      "&lt;/script&gt;&lt;script&gt;alert(1)&lt;/script&gt; &quot;&amp;&#39; ";
  EXPECT_NE(page().find("<h1>" + shown), std::string::npos);
  EXPECT_NE(page().find("<title>" + shown), std::string::npos);
}

TEST(ReportPage, FetchesNothing) {
  const std::string markup = page().substr(0, page().find("id=\"gaugeloom-data\""));
  const std::string body = markup.substr(markup.find("<body>"));
  for (const char* part : {"href=\"http", "url(", "<link", "<iframe", "<base"})
    EXPECT_EQ(body.find(part), std::string::npos) << part;
}

TEST(ReportPage, ShowsNoPasswords) { EXPECT_EQ(page().find("secret"), std::string::npos); }

TEST(ReportPage, IsTheSameTwice) { EXPECT_EQ(page(), report_page(support::report_case().input())); }

TEST(ReportPage, HasEveryPartOnce) {
  for (const char* id :
       {"act", "map", "findings", "storms", "areas", "gauges", "trust", "provenance"}) {
    EXPECT_EQ(count_of(page(), "<section id=\"" + std::string(id) + "\""), 1U) << id;
    EXPECT_GE(count_of(page(), "href=\"#" + std::string(id) + "\""), 1U) << id;
  }
}

TEST(ReportPage, TellsEveryFindingWithItsInnocentExplanation) {
  const support::ReportCase& one = support::report_case();
  const PageView view = page_view(one.input());
  std::size_t faults = 0;
  for (std::size_t row = 0; row < one.checked.findings.size(); ++row) {
    if (one.checked.findings[row].kind == FindingKind::not_testable) continue;
    ++faults;
    EXPECT_EQ(count_of(page(), "<details id=\"" + view.finding_anchors[row] + "\""), 1U);
  }
  EXPECT_GE(faults, 2U);
  EXPECT_EQ(count_of(page(), "Could also be"), faults);
  EXPECT_NE(page().find("&lt;img src=x onerror=alert(1)&gt;"), std::string::npos);
}

TEST(ReportPage, TellsOnlyTheMostTellingOfManyFindingsInDetail) {
  support::ReportCase one = support::report_case();
  const std::size_t first = one.checked.findings.size();
  Finding ended = one.checked.findings[one.visits[0].finding];
  ended.tier = Tier::provisional;
  ended.to = ended.from + std::chrono::hours(1);
  for (std::size_t i = 0; i < 2 * kMostFindings; ++i) {
    one.checked.findings.push_back(ended);
    one.checked.evidence.emplace_back();
  }
  one.checked.findings.back().to.reset();  // more telling than the others
  const ReportInput input = one.input();
  const PageView view = page_view(input);
  ASSERT_EQ(view.findings.size(), kMostFindings);
  for (std::size_t row = 0; row < first; ++row)
    EXPECT_EQ(std::ranges::binary_search(view.findings, row),
              one.checked.findings[row].kind != FindingKind::not_testable)
        << row;
  EXPECT_EQ(view.findings.back(), one.checked.findings.size() - 1);
  const std::string many = report_page(input);
  EXPECT_EQ(count_of(many, "<details id=\"finding-"), kMostFindings);
  for (std::size_t row = 0; row < one.checked.findings.size();
       ++row)  // in the table, or the detail
    EXPECT_EQ(count_of(many, " id=\"" + view.finding_anchors[row] + "\""),
              one.checked.findings[row].kind == FindingKind::not_testable ? 0U : 1U);
  EXPECT_NE(many.find("200 of the "), std::string::npos);
  EXPECT_EQ(page().find("findings are told in detail below"), std::string::npos);
}

TEST(ReportPage, TellsTheFindingsOfTheFirstVisitsWhateverTheyAre) {
  const support::ReportCase& one = support::report_case();
  ReportInput input = one.input();
  const std::size_t visited = input.visits[0].finding;
  EXPECT_EQ(most_worth_telling(input, 1), std::vector{visited});
}

TEST(ReportPage, TellsOfAVisitWhatElseWasFoundThereAndWhatMayBeOlderThanTheRecord) {
  const support::ReportCase& one = support::report_case();
  std::vector<Finding> two(2);
  for (Finding& finding : two) finding.from = one.filled.record.depth.axis().span().from;
  two[0].kind = FindingKind::reads_low;
  two[1].kind = FindingKind::stuck;
  two[1].from += std::chrono::hours(48);
  const std::vector<Visit> visits = {{.gauge = 0, .finding = 0}};
  const ReportInput input{.title = "",
                          .network = one.network,
                          .filled = one.filled,
                          .findings = two,
                          .visits = visits,
                          .summaries = one.checked.gauges,
                          .run = one.run,
                          .files = {}};
  const std::string act = report_page(input);
  const std::string stuck = page_view(input).finding_anchors[1];
  EXPECT_EQ(count_of(act, "Also found there: <a href=\"#" + stuck + "\">stuck</a>."), 1U);
  EXPECT_NE(act.find("To visit first: "), std::string::npos);
  EXPECT_EQ(count_of(act.substr(0, act.find("<section id=\"map\"")), "it may be older"), 1U);
}

TEST(ReportPage, NeedsNoFindingsAndNoStorms) {
  const support::ReportCase& one = support::report_case();
  ReportInput input{.title = "",
                    .network = one.network,
                    .filled = one.filled,
                    .summaries = one.checked.gauges,
                    .run = one.run,
                    .files = {}};
  const std::string bare = report_page(input);
  EXPECT_NE(bare.find("Nothing was found."), std::string::npos);
  EXPECT_NE(bare.find("It did not rain enough for a storm."), std::string::npos);
  EXPECT_EQ(bare.find("<section id=\"areas\""), std::string::npos);
}

}  // namespace
}  // namespace gaugeloom
