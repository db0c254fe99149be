#include <gtest/gtest.h>

#include "gaugeloom/rehearse/fault_variants.hpp"
#include "gaugeloom/report/report_page.hpp"
#include "support/report_case.hpp"

namespace gaugeloom {
namespace {

Rehearsal small_rehearsal() {
  Rehearsal one;
  one.parts.resize(3);
  one.neighbours.resize(fault_variants().size());
  one.untouched = {{2, 1, 10.0}, {0, 0, 10.0}};
  WindowScore day{"24 h", 24, 50, {}, {}, {}, {}, 0, {40, 0.85, 0.1, 0.05}, {}};
  day.fill.rmse_mm = 1.234;
  day.nearest.rmse_mm = 2.345;
  WindowScore storm{"storm", 9, 0, {}, {}, {}, {}, 0, {}, {}};  // none was hidden
  one.fill.windows = {day, storm};
  return one;
}

std::string trust_of(const ReportInput& input) {
  const std::string page = report_page(input);
  const std::size_t from = page.find("<section id=\"trust\"");
  return page.substr(from, page.find("<section id=\"provenance\"") - from);
}

std::string row_of(const std::string& html, const std::string& heading) {
  const std::size_t from = html.find(heading);
  if (from == std::string::npos) return {};
  return html.substr(from, html.find("</tr>", from) - from);
}

TEST(RehearsalPart, SetsWhatWasPredictedBesideWhatWasAchieved) {
  const Rehearsal rehearsal = small_rehearsal();
  ReportInput input = support::report_case().input();
  input.rehearsal = &rehearsal;
  input.check.provisional_calls_per_gauge_year = 0.25;
  const std::string trust = trust_of(input);
  const std::string calls = row_of(trust, "provisional or confirmed");
  EXPECT_NE(calls.find(">0.25<"), std::string::npos) << calls;
  EXPECT_NE(calls.find(">0.10<"), std::string::npos) << calls;  // 2 in 20 gauge-years
  EXPECT_NE(calls.find(">0.36<"), std::string::npos) << calls;  // 7.225 / 20, Garwood's table
  const std::string band = row_of(trust, "Filled depths of 24 h");
  EXPECT_NE(band.find(">90.0<"), std::string::npos) << band;
  EXPECT_NE(band.find(">85.0<"), std::string::npos) << band;
  EXPECT_EQ(row_of(trust, "Filled depths of a storm"), "");
  EXPECT_NE(trust.find(">1.234<"), std::string::npos);
}

TEST(RehearsalPart, SaysHowToGetOne) {
  const std::string trust = trust_of(support::report_case().input());
  EXPECT_NE(trust.find("gaugeloom run --rehearse"), std::string::npos);
  EXPECT_EQ(trust.find("Predicted against achieved"), std::string::npos);
}

}  // namespace
}  // namespace gaugeloom
