#include "gaugeloom/fill/held_back.hpp"

#include <gtest/gtest.h>

namespace gaugeloom {
namespace {

constexpr std::chrono::hours kHour{1};
const Instant kStart{std::chrono::sys_days{std::chrono::year{2021} / 3 / 1}};

Finding finding(FindingKind kind, std::size_t gauge, long from_hour, std::optional<long> to_hour) {
  Finding f;
  f.kind = kind;
  f.gauge = gauge;
  f.from = kStart + from_hour * kHour;
  if (to_hour) f.to = kStart + *to_hour * kHour;
  return f;
}

TEST(HeldBack, ReachesFromTheSpellToTheBurst) {
  const std::vector<Finding> findings{finding(FindingKind::blocked, 2, 10, 100),
                                      finding(FindingKind::release_burst, 2, 103, 104)};
  const auto held = held_back(findings);
  ASSERT_EQ(held.size(), 1U);
  EXPECT_EQ(held[0].gauge, 2U);
  EXPECT_EQ(held[0].over.from, kStart + 10 * kHour);
  EXPECT_EQ(held[0].over.to, kStart + 104 * kHour);
}

TEST(HeldBack, SpellsAndBurstsOfOneStoryAreOne) {
  const std::vector<Finding> findings{finding(FindingKind::blocked, 2, 50, 100),
                                      finding(FindingKind::partly_blocked, 2, 10, 60),
                                      finding(FindingKind::release_burst, 2, 99, 100),
                                      finding(FindingKind::release_burst, 2, 102, 103)};
  const auto held = held_back(findings);
  ASSERT_EQ(held.size(), 1U);
  EXPECT_EQ(held[0].over.from, kStart + 10 * kHour);
  EXPECT_EQ(held[0].over.to, kStart + 103 * kHour);
}

TEST(HeldBack, TheTotalOfAnOutageReachesBackToItsBeginning) {
  const std::vector<Finding> findings{finding(FindingKind::release_burst, 2, 40, 65)};
  const auto held = held_back(findings);
  ASSERT_EQ(held.size(), 1U);
  EXPECT_EQ(held[0].over.from, kStart + 40 * kHour);
  EXPECT_EQ(held[0].over.to, kStart + 65 * kHour);
}

TEST(HeldBack, ABurstWithoutItsSpellHoldsNothing) {
  const std::vector<Finding> findings{finding(FindingKind::blocked, 1, 10, 100),   // another gauge
                                      finding(FindingKind::blocked, 2, 10, 20),    // long over
                                      finding(FindingKind::blocked, 2, 110, 120),  // later
                                      finding(FindingKind::reads_low, 2, 10, 100),
                                      finding(FindingKind::release_burst, 2, 103, 104)};
  EXPECT_TRUE(held_back(findings).empty());
}

}  // namespace
}  // namespace gaugeloom
