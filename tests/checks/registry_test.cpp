#include "gaugeloom/checks/registry.hpp"

#include <gtest/gtest.h>

#include <filesystem>
#include <set>
#include <string>

namespace gaugeloom {
namespace {

std::filesystem::path root() { return GAUGELOOM_ROOT; }

TEST(Registry, HasHeaderSourceTestAndPageForEveryCheck) {
  for (const CheckInfo& check : checks()) {
    const std::string stem(check.stem);
    SCOPED_TRACE(stem);
    EXPECT_TRUE(exists(root() / "include/gaugeloom/checks" / (stem + ".hpp")));
    EXPECT_TRUE(exists(root() / "src/checks" / (stem + ".cpp")));
    EXPECT_TRUE(exists(root() / "src/checks" / (stem + ".md")));
    EXPECT_TRUE(exists(root() / "tests/checks" / (stem + "_test.cpp")));
  }
}

TEST(Registry, HasACheckForEveryPage) {
  std::set<std::string> stems;
  for (const CheckInfo& check : checks()) stems.insert(std::string(check.stem));
  for (const auto& entry : std::filesystem::directory_iterator(root() / "src/checks")) {
    if (entry.path().extension() != ".md") continue;
    EXPECT_TRUE(stems.count(entry.path().stem().string())) << entry.path();
  }
}

TEST(Registry, NamesEachCheckByItsFinding) {
  std::set<FindingKind> kinds;
  for (const CheckInfo& check : checks()) {
    EXPECT_EQ(check.stem, word(check.kind));
    EXPECT_TRUE(kinds.insert(check.kind).second) << check.stem;
    EXPECT_FALSE(check.summary.empty());
  }
}

}  // namespace
}  // namespace gaugeloom
