#include "gaugeloom/geo/grid.hpp"

#include <gtest/gtest.h>

#include <limits>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

TEST(Grid, CountsCellsFromTheUpperLeftCorner) {
  const Grid grid = grid_over({1000, 2000, 4000, 4000}, 500);
  EXPECT_EQ(grid.columns, 6U);
  EXPECT_EQ(grid.rows, 4U);
  EXPECT_EQ(grid.centre(0, 0), (MetricPoint{1250, 3750}));
  EXPECT_EQ(grid.centre(5, 3), (MetricPoint{3750, 2250}));
  EXPECT_FALSE(grid.problem());
}

TEST(Grid, CompletesTheLastColumnAndRow) {
  const Grid grid = grid_over({0, 0, 1001, 999}, 500);
  EXPECT_EQ(grid.columns, 3U);
  EXPECT_EQ(grid.rows, 2U);
  EXPECT_EQ(grid.bounds().x_max_m, 1500);
  EXPECT_EQ(grid.bounds().y_min_m, -1);
}

TEST(Grid, DoesNotAddACellForRounding) {
  const double cell_m = 447213.6 / 3000;
  EXPECT_EQ(grid_over({0, 0, 447213.6, 447213.6}, cell_m).columns, 3000U);
  EXPECT_EQ(grid_over({0, 0, 0.3, 0.3}, 0.1).rows, 3U);
}

TEST(Grid, RefusesWhatIsNoGrid) {
  const double inf = std::numeric_limits<double>::infinity();
  EXPECT_THROW(grid_over({0, 0, 0, 10}, 1), Error);
  EXPECT_THROW(grid_over({0, 0, -5, 10}, 1), Error);
  EXPECT_THROW(grid_over({0, 0, inf, 10}, 1), Error);
  EXPECT_THROW(grid_over({0, 0, 10, 10}, 0), Error);
  EXPECT_THROW(grid_over({0, 0, 10, 10}, -1), Error);
  EXPECT_THROW(grid_over({0, 0, 10, 10}, inf), Error);
  EXPECT_TRUE((Grid{0, 0, 1, 1, 0, 5}.problem()));
  EXPECT_TRUE((Grid{0, 0, 1, 1, kMaxGridSide + 1, 5}.problem()));
  EXPECT_TRUE((Grid{0, 0, 0, 1, 5, 5}.problem()));
}

TEST(Grid, SaysTheSmallestCellThatFits) {
  try {
    grid_over({0, 0, 1e6, 1e6}, 0.5);
    FAIL() << "accepted";
  } catch (const Error& error) {
    EXPECT_EQ(error.code(), ErrorCode::invalid_option);
    EXPECT_NE(std::string(error.what()).find("take cells of 10 m or more"), std::string::npos)
        << error.what();
  }
}

}  // namespace
}  // namespace gaugeloom
