#include "report/page_data_internal.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "support/report_case.hpp"

namespace gaugeloom {
namespace {

using Json = nlohmann::ordered_json;

TEST(ScriptJson, HoldsNothingThatEndsItsElement) {
  const std::string hostile =
      "</script><!-- & \" ' \\ \u2028\u2029 \u202E\x7F" + std::string(1, '\0');
  const std::string text = script_json(Json{{hostile, hostile}});
  for (const char c : text) {
    EXPECT_TRUE(c >= 0x20 && c < 0x7F) << int{c};
    EXPECT_TRUE(c != '<' && c != '>' && c != '&') << text;
  }
  EXPECT_EQ(Json::parse(text), (Json{{hostile, hostile}}));  // and still says the same
}

TEST(ScriptJson, ReplacesBytesThatAreNoText) {
  EXPECT_EQ(script_json(Json("a\xFF")), "\"a\\ufffd\"");
}

TEST(PageData, HoldsEveryGaugeFindingStormAndArea) {
  const support::ReportCase& one = support::report_case();
  const Json data = Json::parse(page_data(page_view(one.input())));
  EXPECT_EQ(data["title"], support::kHostileName);
  EXPECT_EQ(data["place"], "plane");
  EXPECT_EQ(data["step_s"], 3600);
  EXPECT_EQ(data["gauges"].size(), one.network.size());
  EXPECT_EQ(data["gauges"][3]["id"], "a b\"<i>");
  EXPECT_EQ(data["findings"].size(),
            one.checked.findings.size() -
                static_cast<std::size_t>(std::ranges::count(
                    one.checked.findings, FindingKind::not_testable, &Finding::kind)));
  ASSERT_FALSE(one.storms.storms.empty());
  EXPECT_EQ(data["storms"].size(), std::min(one.storms.storms.size(), most_storms_in_detail(9)));
  EXPECT_EQ(data["storms"][0]["totals"].size(), one.network.size());
  EXPECT_EQ(data["areas"][0]["rings"][0].size(), 4U);
}

TEST(PageData, SaysNullWhereNothingIsKnown) {
  const support::ReportCase& one = support::report_case();
  const Json data = Json::parse(page_data(page_view(one.input())));
  const Json& hostile = data["findings"].back();
  EXPECT_TRUE(hostile["expected_mm"].is_null());
  EXPECT_TRUE(hostile["to"].is_null());
  EXPECT_TRUE(hostile["shift_minutes"].is_null());
  EXPECT_TRUE(hostile["levels"].is_null());
  EXPECT_EQ(hostile["score"], 12.35);
}

TEST(PageData, HoldsTheEvidenceOfAFinding) {
  const support::ReportCase& one = support::report_case();
  const ReportInput input = one.input();
  const PageView view = page_view(input);
  const Json data = Json::parse(page_data(view));
  std::size_t with = 0;
  for (std::size_t place = 0; place < view.findings.size(); ++place) {
    const FindingEvidence& evidence = one.checked.evidence[view.findings[place]];
    const Json& got = data["findings"][place]["evidence"];
    EXPECT_EQ(got.is_null(), evidence.empty());
    if (evidence.empty()) continue;
    ++with;
    EXPECT_EQ(got["own"].size(), evidence.bars());
    EXPECT_EQ(got["expected"].size(), evidence.bars());
    EXPECT_EQ(got["neighbours"].size(), evidence.neighbours.size());
    EXPECT_EQ(got["score"].size(), evidence.score.points.size());
    EXPECT_EQ(got["step_s"], evidence.bar.count());
    for (std::size_t i = 0; i < evidence.bars(); ++i) {
      EXPECT_EQ(got["own"][i].is_null(), std::isnan(evidence.own_mm[i]));
      if (got["own"][i].is_null()) continue;
      EXPECT_NEAR(got["own"][i].get<double>(), evidence.own_mm[i], 0.0051);
    }
  }
  EXPECT_GE(with, 1U);
}

TEST(PageData, HoldsWhatMayBeComparedWhereBarsAreKnownInPart) {
  support::ReportCase one = support::report_case();
  FindingEvidence& evidence = one.checked.evidence[page_view(one.input()).findings.front()];
  ASSERT_FALSE(evidence.empty());
  std::size_t bar = 0;
  while (!(evidence.own_mm.at(bar) >= 0 && evidence.expected_mm.at(bar) > 0)) ++bar;
  const auto compared = [&] {
    return Json::parse(page_data(page_view(one.input())))["findings"][0]["evidence"]["compared"];
  };
  EXPECT_TRUE(compared().is_null());  // the drawings take own and expected
  evidence.expected_compared_mm[bar] = evidence.expected_mm[bar] / 3;
  const Json got = compared();
  EXPECT_EQ(got["own"].size(), evidence.bars());
  EXPECT_NEAR(got["expected"][bar].get<double>(), evidence.expected_mm[bar] / 3, 0.0051);
}

TEST(PageData, RoundsDepthsToHundredths) {
  const support::ReportCase& one = support::report_case();
  const Json data = Json::parse(page_data(page_view(one.input())));
  for (const Json& total : data["storms"][0]["totals"]) {
    if (total.is_null()) continue;
    EXPECT_NEAR(total.get<double>() * 100, std::round(total.get<double>() * 100), 1e-6);
  }
}

}  // namespace
}  // namespace gaugeloom
