#include "gaugeloom/tips/corrected_steps.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

Instant at(const char* text) { return parse_iso8601(text)->utc(); }

struct Case {
  TipRecord record{{""}, {{{{0, {}}}}}};
  GaugeFacts facts;
  StepTables tables;

  explicit Case(std::initializer_list<const char*> tips) {
    for (const char* tip : tips) record.gauges[0].trains[0].times.push_back(at(tip));
    facts.rows.emplace_back();
  }
  std::vector<RefusedDepth> write(std::optional<Interval> watched = std::nullopt) {
    JudgeOptions judge;
    if (watched) judge.from = watched->from;
    if (watched) judge.to = watched->to;
    const StepAxis axis = tip_axis(record, std::chrono::hours(1), std::chrono::minutes(0), judge);
    tables = {RainTable(axis, 1), RainTable(axis, 1)};
    CorrectOptions options;
    options.correct_intensity = false;
    return write_steps(correct_gauge(record.gauges[0], facts, options), facts, watched, 0, tables);
  }
  // "0.2 - 0": a dash for missing.
  std::string said() const {
    std::string text;
    for (std::size_t step = 0; step < tables.corrected.step_count(); ++step) {
      if (!text.empty()) text += ' ';
      const double mm = static_cast<double>(tables.corrected.depth_mm(0, step));
      text += tables.corrected.is_measured(0, step) ? std::to_string(std::lround(10 * mm)) : "-";
    }
    return text;
  }
};

TEST(CorrectedSteps, MeasureAZeroOnlyBetweenTheFirstAndTheLastTip) {
  Case one{"2024-03-01T10:20:00.5Z", "2024-03-01T12:10:00.5Z"};
  one.write();
  EXPECT_EQ(one.said(), "2 0 2");
  one.write(Interval{at("2024-03-01T08:00Z"), at("2024-03-01T14:00Z")});
  EXPECT_EQ(one.said(), "0 0 2 0 2 0");
}

TEST(CorrectedSteps, LeaveTheZerosOfAnOutageMissing) {
  Case one{"2024-03-01T10:20:00.5Z", "2024-03-01T14:10:00.5Z"};
  one.facts.outages = {{at("2024-03-01T10:50Z"), at("2024-03-01T12:30Z")}};
  one.write();
  EXPECT_EQ(one.said(), "2 - - 0 2");
}

TEST(CorrectedSteps, RefuseAStepThatTestTipsTook) {
  Case one{"2024-03-01T10:20:00.5Z", "2024-03-01T11:10:00.5Z", "2024-03-01T11:12:00.5Z",
           "2024-03-01T11:55:00.5Z", "2024-03-01T12:30:00.5Z"};
  one.facts.visits = {{at("2024-03-01T11:05Z"), at("2024-03-01T11:20Z")}};
  const auto refused = one.write();
  EXPECT_EQ(one.said(), "2 - 2");
  ASSERT_EQ(refused.size(), 1U);
  EXPECT_FLOAT_EQ(refused[0].depth_mm, 0.2F);
}

TEST(CorrectedSteps, KeepAStepOfAVisitInWhichNothingTipped) {
  Case one{"2024-03-01T10:20:00.5Z", "2024-03-01T12:30:00.5Z"};
  one.facts.visits = {{at("2024-03-01T11:05Z"), at("2024-03-01T11:20Z")}};
  EXPECT_TRUE(one.write().empty());
  EXPECT_EQ(one.said(), "2 0 2");
  one.facts.pours = {{one.facts.visits[0], 50}};
  one.write();
  EXPECT_EQ(one.said(), "2 - 2");
}

TEST(CorrectedSteps, CountTheStepsOfARainDayFromItsStart) {
  Case one{"2024-03-01T08:59:59.5Z", "2024-03-01T09:00:00.5Z"};
  const StepAxis axis = tip_axis(one.record, std::chrono::hours(24), std::chrono::hours(9), {});
  EXPECT_EQ(axis.count(), 2U);
  EXPECT_EQ(axis.end(0), at("2024-03-01T09:00Z"));
}

TEST(CorrectedSteps, BeginAndEndWhereTheyAreAskedTo) {
  Case one{"2024-03-01T08:59:59.5Z", "2024-03-01T15:00:00.5Z"};
  JudgeOptions judge;
  judge.from = at("2024-03-01T10:30Z");
  const auto axis = [&] {
    return tip_axis(one.record, std::chrono::hours(1), std::chrono::minutes(0), judge);
  };
  EXPECT_EQ(axis().span(), (Interval{at("2024-03-01T10:00Z"), at("2024-03-01T16:00Z")}));
  judge.to = at("2024-03-01T12:00Z");
  EXPECT_EQ(axis().span(), (Interval{at("2024-03-01T10:00Z"), at("2024-03-01T12:00Z")}));
  judge.from = at("2024-03-01T17:00Z");
  judge.to.reset();
  EXPECT_EQ(axis().count(), 0U);
}

TEST(CorrectedSteps, RefuseAStepThatDoesNotPartADay) {
  const TipRecord none;
  for (const int seconds : {30, 420, 2 * 86400})
    EXPECT_THROW(tip_axis(none, std::chrono::seconds(seconds), std::chrono::minutes(0), {}), Error);
}

}  // namespace
}  // namespace gaugeloom
