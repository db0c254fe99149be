#include "gaugeloom/rain/site_visit.hpp"

#include <gtest/gtest.h>

namespace gaugeloom {
namespace {

TEST(SiteVisit, HasActionsThatAreReadBackAsWritten) {
  for (const char* text : {"cleaned", "calibrated", "repaired", "inspected"}) {
    ASSERT_TRUE(parse_visit_action(text)) << text;
    EXPECT_EQ(word(*parse_visit_action(text)), text);
  }
  EXPECT_FALSE(parse_visit_action("Cleaned"));
  EXPECT_FALSE(parse_visit_action(""));
}

}  // namespace
}  // namespace gaugeloom
