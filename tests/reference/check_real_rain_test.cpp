// The checks on real networks. Sources: tests/reference/data/<set>/SOURCE.md. What is known of
// their faults was read off the neighbours; no official log exists.

#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string>

#include "gaugeloom/checks/check_network.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "support/reference_rain.hpp"

namespace gaugeloom {
namespace {

Instant at(const char* text) { return parse_iso8601(text).value().utc(); }

struct Checked {
  support::ReferenceRain rain;
  CheckResult result;

  std::vector<Finding> of(const std::string& id) const {
    std::vector<Finding> found;
    for (const Finding& f : result.findings) {
      if (rain.network.gauges[f.gauge].id == id) found.push_back(f);
    }
    return found;
  }
};

Checked checked(const std::string& set, std::chrono::seconds step) {
  Checked out{support::reference_rain(set, step), {}};
  RainRecord record;
  record.depths = out.rain.table;
  out.result = check_network(out.rain.network, record);
  return out;
}

const Checked& singapore() {
  static const Checked all = checked("singapore", std::chrono::minutes(5));
  return all;
}

const Checked& brittany() {
  static const Checked all = checked("brittany", std::chrono::hours(1));
  return all;
}

TEST(CheckSingapore, NamesTheDrippingGaugeInTime) {
  const auto found = singapore().of("S84");
  ASSERT_EQ(found.size(), 1U);
  const Finding& f = found.front();
  EXPECT_EQ(f.kind, FindingKind::partly_blocked);
  EXPECT_EQ(f.tier, Tier::confirmed);
  EXPECT_GE(f.from, at("2016-12-17"));
  EXPECT_LT(f.from, at("2016-12-22"));
  EXPECT_LE(f.called, at("2016-12-24T24:00Z"));
  EXPECT_TRUE(!f.to || *f.to >= at("2016-12-28"));
  EXPECT_NE(f.reason.find("S94"), std::string::npos) << f.reason;  // its nearest, at 2.7 km
}

TEST(CheckSingapore, CallsFewOthers) {
  // 49 gauges, 30 days: 3.7 gauge-years. None is called today; one would still be within the dial.
  const auto others = std::count_if(singapore().result.findings.begin(),
                                    singapore().result.findings.end(), [](const Finding& f) {
                                      return singapore().rain.network.gauges[f.gauge].id != "S84" &&
                                             f.kind != FindingKind::not_testable;
                                    });
  EXPECT_LE(others, 1);
}

TEST(CheckSingapore, TakesTheDrySouthWestForWeather) {
  for (const char* id : {"S102", "S115", "S117"}) EXPECT_TRUE(singapore().of(id).empty()) << id;
}

TEST(CheckBrittany, NamesBothSilencesOfOneStation) {
  bool new_year = false;
  bool middle = false;
  for (const Finding& f : brittany().of("56004001")) {
    if (f.kind != FindingKind::blocked && f.kind != FindingKind::partly_blocked) continue;
    const Interval over{f.from, f.to.value_or(at("2014-02-01"))};
    new_year = new_year || over.overlaps({at("2014-01-01"), at("2014-01-03T10:00Z")});
    middle = middle || over.overlaps({at("2014-01-15T12:00Z"), at("2014-01-17")});
  }
  EXPECT_TRUE(new_year);
  EXPECT_TRUE(middle);
}

TEST(CheckBrittany, CondemnsNoCapeAndNoIsland) {
  // They catch 55 to 70 % of their inland neighbours.
  for (const char* id :
       {"22016001", "22168001", "29155005", "29158001", "29168001", "56009001", "56069001"}) {
    ASSERT_TRUE(brittany().rain.network.find(id).has_value()) << id;
    EXPECT_TRUE(brittany().of(id).empty()) << id;
  }
}

TEST(CheckBrittany, CallsFewOthers) {
  // Two more are called today, both by what looks like real trouble: LANNAERO (22113006) had 18 mm
  // in a week in which its neighbour at 8 km had 60, and SIBIRIL (29276001) nothing for three days.
  std::set<std::size_t> called;
  for (const Finding& f : brittany().result.findings) called.insert(f.gauge);
  EXPECT_LE(called.size(), 4U);
}

}  // namespace
}  // namespace gaugeloom
