#include "gaugeloom/report/report_page.hpp"

#include <gtest/gtest.h>

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
