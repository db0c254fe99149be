#include <gtest/gtest.h>

#include "checks/visit_mention_internal.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

Instant at(const char* text) { return parse_iso8601(text)->utc(); }

SiteVisit visit(std::size_t gauge, VisitAction action, const char* from) {
  return {gauge, {at(from), at(from) + std::chrono::hours(1)}, action, 0, ""};
}

// A blocked gauge 3 from 1 to 20 March.
std::string reason(const std::vector<SiteVisit>& visits, bool lasts = false) {
  Finding finding;
  finding.gauge = 3;
  finding.from = at("2024-03-01T00:00Z");
  if (!lasts) finding.to = at("2024-03-20T00:00Z");
  finding.reason = "No tips.";
  std::vector<Finding> findings{finding};
  mention_visits(findings, visits);
  return findings[0].reason;
}

TEST(VisitMention, SaysWhatWasDoneWhereAFindingBeginsOrEnds) {
  EXPECT_EQ(reason({visit(3, VisitAction::cleaned, "2024-03-19T08:00Z")}),
            "No tips. The gauge was cleaned on 19 Mar 2024.");
  EXPECT_EQ(
      reason({visit(3, VisitAction::cleaned, "2024-03-19T08:00Z"),
              visit(3, VisitAction::repaired, "2024-02-29T08:00Z")}),
      "No tips. The gauge was repaired on 29 Feb 2024. The gauge was cleaned on 19 Mar 2024.");
}

TEST(VisitMention, TakesTheNearestOfSeveral) {
  EXPECT_EQ(reason({visit(3, VisitAction::calibrated, "2024-03-18T08:00Z"),
                    visit(3, VisitAction::cleaned, "2024-03-19T08:00Z"),
                    visit(3, VisitAction::repaired, "2024-03-21T08:00Z")}),
            "No tips. The gauge was cleaned on 19 Mar 2024.");
}

TEST(VisitMention, IsSilentAboutOtherVisits) {
  EXPECT_EQ(reason({visit(3, VisitAction::inspected, "2024-03-19T08:00Z"),
                    visit(2, VisitAction::cleaned, "2024-03-19T08:00Z"),
                    visit(3, VisitAction::cleaned, "2024-03-10T08:00Z")}),
            "No tips.");
  EXPECT_EQ(reason({visit(3, VisitAction::cleaned, "2024-03-19T08:00Z")}, true), "No tips.");
}

}  // namespace
}  // namespace gaugeloom
