// Someone who checks again every few hours is told the same, at the same time, as someone who
// checks the whole record once.

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <string>
#include <tuple>

#include "gaugeloom/checks/check_network.hpp"
#include "support/demo_basin.hpp"

namespace gaugeloom {
namespace {

using Call = std::tuple<std::size_t, FindingKind, Instant>;  // gauge, kind, called

constexpr std::size_t kStepsApart = 37;  // 6 h 10 min: no multiple of an hour

bool overlaps(const Finding& a, const Finding& b) {
  return a.gauge == b.gauge && (!b.to || a.from < *b.to) && (!a.to || b.from < *a.to);
}

// What a finding was called first may turn out to be another fault of that gauge, but nothing is
// told of a gauge that the batch does not call.
TEST(Live, MakesTheCallsOfTheBatchAtTheSameTimes) {
  const support::DemoBasin demo = support::demo_basin();
  RainRecord whole;
  whole.depths = demo.rain;
  const LearnedNulls nulls = check_network(demo.network, whole).nulls;
  const auto batch = check_with_frozen_nulls(demo.network, whole, nulls).findings;
  ASSERT_EQ(batch.size(), 8U);
  const StepAxis& axis = demo.rain.axis();
  std::map<Call, Instant> told;
  for (std::size_t steps = kStepsApart; steps < axis.count() + kStepsApart; steps += kStepsApart) {
    RainRecord so_far;
    so_far.depths = slice(demo.rain, 0, std::min(steps, axis.count()));
    const Instant now = so_far.depths.axis().span().to;
    for (const Finding& f : check_with_frozen_nulls(demo.network, so_far, nulls).findings) {
      EXPECT_LE(f.called, now);
      told.emplace(Call{f.gauge, f.kind, f.called}, now);
      EXPECT_TRUE(
          std::any_of(batch.begin(), batch.end(), [&](const Finding& b) { return overlaps(f, b); }))
          << demo.network.gauges[f.gauge].id << " " << word(f.kind) << ": " << f.reason;
    }
  }
  for (const Finding& f : batch) {
    SCOPED_TRACE(demo.network.gauges[f.gauge].id + " " + std::string(word(f.kind)));
    const auto first = told.find({f.gauge, f.kind, f.called});
    ASSERT_NE(first, told.end());
    EXPECT_LT(first->second - f.called, kStepsApart * axis.step());
  }
}

}  // namespace
}  // namespace gaugeloom
