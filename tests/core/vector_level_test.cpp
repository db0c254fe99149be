#include "gaugeloom/core/vector_level.hpp"

#include <gtest/gtest.h>

#include <cstdlib>

#include "gaugeloom/core/error.hpp"

namespace gaugeloom {
namespace {

class VectorLevelTest : public ::testing::Test {
 protected:
  ~VectorLevelTest() override { unsetenv("GAUGELOOM_VECTOR_LEVEL"); }
};

TEST_F(VectorLevelTest, IsTheWidestUnlessTold) {
  unsetenv("GAUGELOOM_VECTOR_LEVEL");
  EXPECT_EQ(vector_level(), supported_vector_levels().back());
  EXPECT_EQ(supported_vector_levels().front(), VectorLevel::baseline);
}

TEST_F(VectorLevelTest, FollowsTheVariable) {
  for (const VectorLevel level : supported_vector_levels()) {
    setenv("GAUGELOOM_VECTOR_LEVEL", std::string(word(level)).c_str(), 1);
    EXPECT_EQ(vector_level(), level);
  }
}

TEST_F(VectorLevelTest, RefusesAWordItDoesNotKnow) {
  setenv("GAUGELOOM_VECTOR_LEVEL", "widest", 1);
  EXPECT_THROW(vector_level(), Error);
  EXPECT_FALSE(parse_vector_level("AVX2"));
}

}  // namespace
}  // namespace gaugeloom
