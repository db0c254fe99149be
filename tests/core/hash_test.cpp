#include "gaugeloom/core/hash.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/core/random.hpp"

namespace gaugeloom {
namespace {

// Test vectors of 64-bit FNV-1a: draft-eastlake-fnv, section 5 (from memory).
TEST(Hash, AgreesWithPublishedVectors) {
  EXPECT_EQ(hash_bytes(""), 0xcbf29ce484222325ULL);
  EXPECT_EQ(hash_bytes("a"), 0xaf63dc4c8601ec8cULL);
  EXPECT_EQ(hash_bytes("foobar"), 0x85944171f73967e8ULL);
}

TEST(Hash, SpreadsKeyedNumbersEvenly) {
  double sum = 0;
  double sum_of_squares = 0;
  constexpr int kDraws = 40000;
  for (std::uint64_t i = 0; i < kDraws; ++i) {
    const double u = keyed_uniform(1, i / 200, i % 200);
    ASSERT_GE(u, 0);
    ASSERT_LT(u, 1);
    sum += u;
    sum_of_squares += u * u;
  }
  EXPECT_NEAR(sum / kDraws, 0.5, 4 * 0.289 / 200);                 // four standard errors
  EXPECT_NEAR(sum_of_squares / kDraws, 1.0 / 3, 4 * 0.299 / 200);  // four standard errors
  EXPECT_NE(keyed_uniform(1, 2, 3), keyed_uniform(1, 3, 2));
}

TEST(Random, DependsOnTheNameAlone) {
  Random first("a name");
  Random again("a name");
  Random other("another");
  const double value = first.uniform();
  EXPECT_EQ(value, again.uniform());
  EXPECT_NE(value, other.uniform());
}

TEST(Random, HasTheMomentsItPromises) {
  Random random("HasTheMomentsItPromises");
  double normal = 0;
  double square = 0;
  double waiting = 0;
  constexpr int kDraws = 40000;
  for (int i = 0; i < kDraws; ++i) {
    const double z = random.normal();
    normal += z;
    square += z * z;
    waiting += random.exponential(3);
    EXPECT_LT(random.below(7), 7U);
  }
  EXPECT_NEAR(normal / kDraws, 0, 0.02);  // four standard errors
  EXPECT_NEAR(square / kDraws, 1, 0.03);
  EXPECT_NEAR(waiting / kDraws, 3, 0.06);
}

}  // namespace
}  // namespace gaugeloom
