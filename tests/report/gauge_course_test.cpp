#include "report/gauge_course_internal.hpp"

#include <gtest/gtest.h>

namespace gaugeloom {
namespace {

using namespace std::chrono_literals;

Instant at(int year, unsigned month, unsigned day, int hour = 0) {
  return std::chrono::sys_days{std::chrono::year{year} / std::chrono::month{month} /
                               std::chrono::day{day}} +
         std::chrono::hours(hour);
}

TEST(GaugeCourse, PutsAStepWhereItEnds) {
  const StepAxis axis(at(2024, 2, 28, 23), 1h, 50);  // the first step ends at 23:00
  const CourseDays days = course_days(axis, 0min, 400);
  ASSERT_EQ(days.spans.size(), 3U);  // 28 and 29 February, 1 March
  EXPECT_EQ(days.length, std::chrono::days{1});
  EXPECT_EQ(days.spans[0].begin, at(2024, 2, 28));
  EXPECT_EQ(days.spans[0].steps.last, 2U);  // 23:00 and 24:00
  EXPECT_EQ(days.spans[1].begin, at(2024, 2, 29));
  EXPECT_EQ(days.spans[1].steps.last, 26U);
  EXPECT_EQ(days.spans[2].steps.last, 50U);
}

TEST(GaugeCourse, BeginsDaysWhereTheUserSays) {
  const StepAxis axis(at(2024, 3, 1, 1), 1h, 24);
  const CourseDays days = course_days(axis, 9h, 400);
  ASSERT_EQ(days.spans.size(), 2U);
  EXPECT_EQ(days.spans[0].begin, at(2024, 2, 29, 9));
  EXPECT_EQ(days.spans[0].steps.last, 9U);
}

TEST(GaugeCourse, TakesSeveralDaysTogetherWhereThereAreMany) {
  const StepAxis axis(at(2024, 1, 1, 6), 6h, 4 * 1000);
  const CourseDays days = course_days(axis, 0min, 400);
  EXPECT_EQ(days.length, std::chrono::days{3});
  EXPECT_EQ(days.spans.size(), 334U);
  EXPECT_EQ(days.spans[1].begin - days.spans[0].begin, Duration(3 * 24h));
  EXPECT_EQ(days.spans.back().steps.last, axis.count());
}

TEST(GaugeCourse, KeepsTheLastMonths) {
  const StepAxis axis(at(2023, 12, 15, 1), 1h, 24 * 80);
  const auto all = course_months(axis, 0min, 12);
  ASSERT_EQ(all.size(), 4U);  // December to March
  EXPECT_EQ(all[0].begin, at(2023, 12, 1));
  EXPECT_EQ(all[2].steps.last - all[2].steps.first, 29U * 24);  // a leap year
  const auto last = course_months(axis, 0min, 2);
  ASSERT_EQ(last.size(), 2U);
  EXPECT_EQ(last[0].begin, at(2024, 2, 1));
}

TEST(GaugeCourse, ShowsTheWorstThatLastsAnHourOfADay) {
  QualityTable quality(1, 96, Quality::good);
  const std::vector<CourseSpan> day = {{at(2024, 1, 1), {0, 96}}};
  EXPECT_EQ(quality_letters(quality, 0, day), "g");
  for (std::size_t step = 0; step < 3; ++step) quality.at(0, step) = Quality::missing;
  EXPECT_EQ(quality_letters(quality, 0, day), "g");
  quality.at(0, 3) = Quality::missing;
  EXPECT_EQ(quality_letters(quality, 0, day), "m");
  for (std::size_t step = 0; step < 4; ++step) quality.at(0, step) = Quality::estimate;
  for (std::size_t step = 4; step < 8; ++step) quality.at(0, step) = Quality::suspect;
  EXPECT_EQ(quality_letters(quality, 0, day), "s");
}

TEST(GaugeCourse, ThinsACurveBetweenItsEnds) {
  std::vector<GaugeDoubleMass> points(100);
  for (std::size_t i = 0; i < points.size(); ++i) points[i].own_mm = static_cast<double>(i);
  const auto few = thinned(points, 10);
  ASSERT_EQ(few.size(), 10U);
  EXPECT_EQ(few.front().own_mm, 0);
  EXPECT_EQ(few.back().own_mm, 99);
  EXPECT_EQ(thinned(points, 100).size(), 100U);
}

}  // namespace
}  // namespace gaugeloom
