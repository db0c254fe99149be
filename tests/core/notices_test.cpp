#include "gaugeloom/core/notices.hpp"

#include <gtest/gtest.h>

namespace gaugeloom {
namespace {

TEST(Notices, NameTheOnlyGaugeOrHowManyAndTheFirst) {
  EXPECT_EQ(gauges_in_words(1, "V21"), "gauge V21");
  EXPECT_EQ(gauges_in_words(3, "V21"), "3 gauges (first: V21)");
}

}  // namespace
}  // namespace gaugeloom
