// The checks on the invented basin of data/velsarn, held against its own list of planted faults.

#include <gtest/gtest.h>

#include <fstream>
#include <set>
#include <sstream>
#include <string>

#include "gaugeloom/checks/check_network.hpp"
#include "gaugeloom/io/calibration_reader.hpp"
#include "gaugeloom/io/gauge_reader.hpp"
#include "gaugeloom/io/outage_reader.hpp"
#include "gaugeloom/io/rain_reader.hpp"
#include "gaugeloom/io/site_visit_reader.hpp"
#include "gaugeloom/io/tip_reader.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "gaugeloom/tips/join_tips.hpp"

namespace gaugeloom {
namespace {

const std::string kFolder = std::string(GAUGELOOM_ROOT) + "/data/velsarn/";

struct Planted {
  std::string gauge;
  FindingKind kind;
  Interval over;
};

// The rows of planted_faults.csv that are findings (a telemetry gap is missing data, no finding).
std::vector<Planted> planted() {
  std::ifstream file(kFolder + "planted_faults.csv");
  std::vector<Planted> faults;
  std::string line;
  std::getline(file, line);
  while (std::getline(file, line)) {
    std::stringstream stream(line);
    std::string gauge, kind, from, to;
    std::getline(stream, gauge, ',');
    std::getline(stream, kind, ',');
    std::getline(stream, from, ',');
    std::getline(stream, to, ',');
    const auto finding = parse_finding_kind(kind);
    if (!finding) continue;
    faults.push_back(
        {gauge, *finding, {parse_iso8601(from).value().utc(), parse_iso8601(to).value().utc()}});
  }
  return faults;
}

// The gauges that stored tips, corrected, beside those that stored depths.
RainRecord read_all_gauges(const Network& network) {
  Notices notices;
  RainRecord rain =
      read_rain(std::vector<std::string>{kFolder + "rain.csv.gz"}, network, {}, notices);
  const auto visits = read_site_visits(kFolder + "visits.csv", network, false, notices);
  const auto outages = read_outages(kFolder + "outages.csv", network, false, notices);
  auto facts = gauge_facts(network, visits, outages);
  for (auto& [gauge, table] :
       read_calibrations(kFolder + "calibration.csv", network, false, notices))
    facts[gauge].table = table;
  CorrectNetworkOptions options;
  options.step = rain.depths.axis().step();
  options.correct.judge.from = rain.depths.axis().span().from;
  options.correct.judge.to = rain.depths.axis().span().to;
  options.watched = true;
  TipRecord tips =
      read_tips(std::vector<std::string>{kFolder + "tips.csv.gz"}, network, {}, notices);
  EXPECT_EQ(join_tips(rain, correct_network(std::move(tips), facts, options, [](auto...) {})).steps,
            0U);
  return rain;
}

struct Demo {
  Network network;
  CheckResult result;
};

const Demo& demo() {
  static const Demo all = [] {
    Demo d;
    std::vector<std::string> gauge_notices;
    GaugeReadOptions gauges;
    gauges.crs = "EPSG:3035";
    d.network = read_gauges(kFolder + "gauges.csv", gauges, gauge_notices);
    d.result = check_network(d.network, read_all_gauges(d.network));
    return d;
  }();
  return all;
}

TEST(CheckDemo, NamesThePlantedFaults) {
  const auto faults = planted();
  ASSERT_EQ(faults.size(), 8U);
  for (const Planted& fault : faults) {
    SCOPED_TRACE(fault.gauge);
    bool named = false;
    for (const Finding& f : demo().result.findings) {
      if (demo().network.gauges[f.gauge].id != fault.gauge || f.kind != fault.kind) continue;
      named = named || fault.over.overlaps({f.from, f.to.value_or(fault.over.to)});
    }
    EXPECT_TRUE(named);
  }
}

TEST(CheckDemo, NamesNothingElse) {
  std::set<std::pair<std::string, FindingKind>> known;
  for (const Planted& fault : planted()) known.insert({fault.gauge, fault.kind});
  for (const Finding& f : demo().result.findings) {
    EXPECT_TRUE(known.count({demo().network.gauges[f.gauge].id, f.kind}))
        << demo().network.gauges[f.gauge].id << " " << word(f.kind) << ": " << f.reason;
  }
}

}  // namespace
}  // namespace gaugeloom
