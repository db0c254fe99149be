// Worked examples of rain handbooks. Published in
// B. Punmia and P. Lal, Irrigation and Water Power Engineering, unless said otherwise.

#include <gtest/gtest.h>

#include "gaugeloom/interp/inverse_distance.hpp"
#include "gaugeloom/interp/normal_ratio.hpp"

namespace gaugeloom {
namespace {

TEST(RainHandbookReference, NormalRatioGivesThePrintedAnswer) {
  const std::vector<double> normals = {72.6, 51.8, 38.2}, depths_cm = {6.6, 4.8, 3.7};
  const double answer = normal_ratio(65.6, normals, depths_cm);
  EXPECT_NEAR(answer, 6.13, 0.005);        // published, example 4.3
  EXPECT_NEAR(answer, 6.132109181, 1e-9);  // computed
}

TEST(RainHandbookReference, NormalRatioGivesFurtherAnswers) {
  const std::vector<double> normals3 = {80.97, 67.59, 76.28}, depths3 = {91.11, 72.23, 79.89};
  EXPECT_NEAR(normal_ratio(92.01, normals3, depths3), 99.41, 0.005);  // memory: Subramanya 2.2
  const std::vector<double> normals4 = {125, 102, 76, 113}, depths4 = {13.2, 9.2, 6.8, 10.2};
  EXPECT_NEAR(normal_ratio(137, normals4, depths4), 12.86, 0.005);  // memory: Subramanya
  const std::vector<double> exam = {1100, 1200, 1250}, exam_depths = {110, 90, 70};
  EXPECT_NEAR(normal_ratio(1000, exam, exam_depths), 77.0, 1e-12);  // published, an exam question
}

TEST(RainHandbookReference, InverseDistanceSquaredGivesThePrintedAnswer) {
  // Example 4.4: one gauge in each quadrant around A (0, 0).
  const std::vector<MetricPoint> gauges = {{9, 6}, {12, -9}, {-11, -6}, {-7, 7}};
  const std::vector<MetricPoint> target = {{0, 0}};
  const std::vector<double> depths_mm = {74, 88, 71, 80};
  const double answer = inverse_distance(gauges, depths_mm, target).at(0).value;
  EXPECT_NEAR(answer, 77.5, 0.05);         // published
  EXPECT_NEAR(answer, 77.52912458, 1e-8);  // computed
  const std::vector<double> weights = {0.2890924983, 0.1503280991, 0.2154383586, 0.3451410439};
  for (std::size_t i = 0; i < 4; ++i) {
    std::vector<double> one(4, 0.0);
    one[i] = 1;  // the estimate of a single 1 is its weight
    EXPECT_NEAR(inverse_distance(gauges, one, target).at(0).value, weights[i], 1e-10);
  }
}

}  // namespace
}  // namespace gaugeloom
