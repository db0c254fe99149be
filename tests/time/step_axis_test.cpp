#include "gaugeloom/time/step_axis.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

Instant at(const char* text) { return parse_iso8601(text)->utc(); }

TEST(StepAxis, FindsStepsByTheirEnd) {
  const StepAxis axis(at("2024-02-28T23:00Z"), std::chrono::hours{1}, 30);
  EXPECT_EQ(axis.ending_at(at("2024-02-28T23:00Z")), 0U);
  EXPECT_EQ(axis.ending_at(at("2024-02-29T05:00Z")), 6U);
  EXPECT_FALSE(axis.ending_at(at("2024-02-29T05:30Z")));
  EXPECT_FALSE(axis.ending_at(at("2024-02-28T22:00Z")));
  EXPECT_FALSE(axis.ending_at(at("2024-03-01T05:00Z")));
  EXPECT_EQ(axis.span().from, at("2024-02-28T22:00Z"));
  EXPECT_EQ(axis.span().to, at("2024-03-01T04:00Z"));
}

TEST(StepAxis, KnowsWhichStepsLieWithinAWindow) {
  const StepAxis axis(at("2024-02-28T23:00Z"), std::chrono::hours{1}, 30);
  const auto day = axis.within({at("2024-02-29T00:00Z"), at("2024-03-01T00:00Z")});
  EXPECT_EQ(day.first, 2U);
  EXPECT_EQ(day.last, 26U);
  const auto half = axis.within({at("2024-02-29T00:30Z"), at("2024-02-29T01:30Z")});
  EXPECT_EQ(half.first, half.last);
  const auto all = axis.within({at("2000-01-01"), at("2100-01-01")});
  EXPECT_EQ(all.last - all.first, 30U);
  EXPECT_EQ(axis.steps_in(std::chrono::hours{6}), 6U);
  EXPECT_FALSE(axis.steps_in(std::chrono::minutes{90}));
}

TEST(StepAxis, KnowsWhichStepsTouchAWindow) {
  const StepAxis axis(at("2024-02-28T23:00Z"), std::chrono::hours{1}, 30);
  const auto half = axis.touching({at("2024-02-29T00:30Z"), at("2024-02-29T01:30Z")});
  EXPECT_EQ(half.first, 2U);
  EXPECT_EQ(half.last, 4U);
  const auto edge = axis.touching({at("2024-02-29T00:00Z"), at("2024-02-29T01:00Z")});
  EXPECT_EQ(edge.last - edge.first, 1U);
  const auto outside = axis.touching({at("2023-01-01"), at("2023-01-02")});
  EXPECT_EQ(outside.first, outside.last);
  EXPECT_EQ(axis.touching({at("2000-01-01"), at("2100-01-01")}).last, 30U);
}

}  // namespace
}  // namespace gaugeloom
