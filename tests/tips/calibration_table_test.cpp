#include "gaugeloom/tips/calibration_table.hpp"

#include <gtest/gtest.h>

namespace gaugeloom {
namespace {

const CalibrationTable kTable({{100, 1.05}, {20, 0.98}, {300, 1.15}});

TEST(CalibrationTable, IsLinearBetweenItsPoints) {
  EXPECT_DOUBLE_EQ(kTable.factor(20), 0.98);
  EXPECT_DOUBLE_EQ(kTable.factor(60), 1.015);
  EXPECT_DOUBLE_EQ(kTable.factor(200), 1.10);
}

TEST(CalibrationTable, KeepsTheFactorOfItsEndsBeyondThem) {
  EXPECT_EQ(kTable.factor(0), 0.98);
  EXPECT_EQ(kTable.factor(1000), 1.15);
  EXPECT_TRUE(kTable.reaches(20));
  EXPECT_TRUE(kTable.reaches(300));
  EXPECT_FALSE(kTable.reaches(19.9));
  EXPECT_FALSE(kTable.reaches(300.1));
}

TEST(CalibrationTable, OfOnePointIsOneFactor) {
  const CalibrationTable one({{50, 1.02}});
  EXPECT_EQ(one.factor(10), 1.02);
  EXPECT_EQ(one.factor(50), 1.02);
  EXPECT_EQ(one.factor(90), 1.02);
}

}  // namespace
}  // namespace gaugeloom
