#include "gaugeloom/io/site_visit_reader.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "support/rain_text.hpp"
#include "support/refusal.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

std::vector<SiteVisit> read(std::string_view text, Notices& notices, bool strict = false) {
  const support::TemporaryFolder folder;
  return read_site_visits(folder.write("visits.csv", text), support::network_of({"A", "B"}), strict,
                          notices);
}

std::string refusal(const std::string& row, bool strict = false) {
  Notices notices;
  return support::refusal_of(
      "visits.csv", [&] { read("gauge,from,to,action,poured_ml,note\n" + row, notices, strict); });
}

TEST(SiteVisitReader, ReadsVisitsWithAndWithoutAPour) {
  Notices notices;
  const auto visits = read(
      "gauge,from,to,action,poured_ml,note\n"
      "B,2024-03-01T10:00+01:00,2024-03-01T09:40Z,calibrated,250.5,\"funnel, screws\"\n"
      "A,2024-03-05T08:00Z,2024-03-05T08:30Z,cleaned,,\n"
      "Z,2024-03-05T08:00Z,2024-03-05T08:30Z,cleaned,,\n",
      notices);
  ASSERT_EQ(visits.size(), 2U);
  EXPECT_EQ(visits[0].gauge, 1U);
  EXPECT_EQ(format_utc(visits[0].over.from), "2024-03-01T09:00:00Z");
  EXPECT_EQ(format_utc(visits[0].over.to), "2024-03-01T09:40:00Z");
  EXPECT_EQ(visits[0].action, VisitAction::calibrated);
  EXPECT_EQ(visits[0].poured_ml, 250.5);
  EXPECT_EQ(visits[0].note, "funnel, screws");
  EXPECT_EQ(visits[1].action, VisitAction::cleaned);
  EXPECT_EQ(visits[1].poured_ml, 0);
  ASSERT_EQ(notices.size(), 1U);
  EXPECT_NE(notices[0].find("left out 1 rows of gauges that are not in the gauge list"),
            std::string::npos);
}

TEST(SiteVisitReader, NeedsNeitherVolumeNorNote) {
  Notices notices;
  const auto visits =
      read("action,to,from,gauge\nrepaired,2024-03-05T09:00Z,2024-03-05T08:00Z,A\n", notices);
  ASSERT_EQ(visits.size(), 1U);
  EXPECT_EQ(visits[0].action, VisitAction::repaired);
  EXPECT_EQ(visits[0].over.length(), std::chrono::hours(1));
}

TEST(SiteVisitReader, RefusesWhatCannotBeMeant) {
  EXPECT_EQ(refusal("A,2024-03-05T08:00Z,2024-03-05T07:00Z,cleaned,,\n"),
            "visits.csv:2:21: the visit ends before it begins; put the later time in 'to'");
  EXPECT_EQ(refusal("A,2024-03-05T08:00Z,2024-03-05T09:00Z,looked,,\n"),
            "visits.csv:2:39: 'looked' is no action; write cleaned, calibrated, repaired or "
            "inspected");
  EXPECT_EQ(refusal("A,2024-03-05T08:00Z,2024-03-05T09:00Z,calibrated,-5,\n"),
            "visits.csv:2:50: less than nothing cannot be poured; correct it, or leave it empty");
  EXPECT_EQ(refusal(",2024-03-05T08:00Z,2024-03-05T09:00Z,cleaned,,\n"),
            "visits.csv:2:1: gauge is empty; fill it in");
  EXPECT_EQ(refusal("A,2024-03-05T08:00Z,,cleaned,,\n"),
            "visits.csv:2:21: a visit has an end; fill in 'to'");
  EXPECT_NE(
      refusal("A,2024-03-05T08:00Z,2024-03-05T09:00Z,cleaned,much,\n").find("visits.csv:2:47: "),
      std::string::npos);
  EXPECT_NE(refusal("A,monday,2024-03-05T09:00Z,cleaned,,\n").find("is not a time"),
            std::string::npos);
  EXPECT_NE(
      refusal("Z,2024-03-05T08:00Z,2024-03-05T09:00Z,cleaned,,\n", true).find("not in the gauge"),
      std::string::npos);
  Notices notices;
  EXPECT_THROW(read("gauge,from,to\nA,2024-03-05T08:00Z,2024-03-05T09:00Z\n", notices), Error);
}

}  // namespace
}  // namespace gaugeloom
