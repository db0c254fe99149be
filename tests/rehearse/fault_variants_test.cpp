#include "gaugeloom/rehearse/fault_variants.hpp"

#include <gtest/gtest.h>

#include <set>

namespace gaugeloom {
namespace {

TEST(FaultVariants, HaveNamesOfTheirOwn) {
  std::set<std::string> names;
  for (const FaultVariant& variant : fault_variants()) {
    const std::string name = std::string(word(variant.kind)) + " " + variant.size_text();
    EXPECT_TRUE(names.insert(name).second) << name;
  }
}

TEST(FaultVariants, CoverEveryKind) {
  std::set<InjectedKind> kinds;
  for (const FaultVariant& variant : fault_variants()) kinds.insert(variant.kind);
  EXPECT_EQ(kinds.size(), static_cast<std::size_t>(InjectedKind::outage_total) + 1);
  EXPECT_EQ(word(InjectedKind::outage_total), "outage_total");
}

TEST(FaultVariants, SayTheirSizeWithItsUnit) {
  FaultVariant variant{InjectedKind::partial_block, 1.5, "mm/h", 20, 60, false, {}};
  EXPECT_EQ(variant.size_text(), "1.5 mm/h");
  EXPECT_TRUE(variant.hides_rain());
  variant.unit = "";
  EXPECT_EQ(variant.size_text(), "");
}

}  // namespace
}  // namespace gaugeloom
