#include "gaugeloom/checks/evidence_hash.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/io/sha256.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "support/rain_text.hpp"

namespace gaugeloom {
namespace {

Instant at(std::string_view text) { return parse_iso8601(text)->utc(); }

// Two gauges beside A, three hours each.
struct Case {
  Network network = support::network_of({"A", "B", "C"});
  RainTable table{StepAxis(at("2024-03-01T01:00Z"), std::chrono::hours(1), 3), 3};
  Finding finding;

  Case() {
    for (std::size_t gauge = 0; gauge < 3; ++gauge)
      for (std::size_t step = 0; step < 3; ++step)
        table.set(gauge, step, static_cast<float>(0.2 * static_cast<double>(gauge + step)));
    table.set_missing(1, 1);
    finding.kind = FindingKind::blocked;
    finding.from = at("2024-03-01T00:00Z");
    finding.called = at("2024-03-01T02:00Z");
  }
  std::string hash() const { return EvidenceHash(network, table, sha256_of_text).of(finding); }
  bool holds(const std::string& earlier) const {
    return EvidenceHash(network, table, sha256_of_text).holds(finding, earlier);
  }
};

TEST(EvidenceHash, IsTheShortenedSha256OfATextAnybodyCanWrite) {
  const Case one;
  const std::string text =
      "blocked\n2024-03-01T00:00:00Z,2024-03-01T02:00:00Z,3600\nA,0,200\nB,200,\nC,400,600\n";
  EXPECT_EQ(
      EvidenceHash(one.network, one.table, sha256_of_text).text(one.finding, one.finding.called),
      text);
  EXPECT_EQ(one.hash(), "20240301T0200Z-" + sha256_of_text(text).substr(0, 16));
  EXPECT_EQ(called_in_evidence(one.hash()), one.finding.called);
}

TEST(EvidenceHash, StaysWhenWhatFollowsTheCallChanges) {
  Case one;
  const std::string before = one.hash();
  one.table.set(0, 2, 7);
  one.table.set_missing(2, 2);
  one.finding.to = at("2024-03-01T03:00Z");
  one.finding.score = 99;
  one.finding.tier = Tier::confirmed;
  EXPECT_EQ(one.hash(), before);
}

TEST(EvidenceHash, ChangesWithEveryDepthBehindTheCall) {
  const Case one;
  for (std::size_t gauge = 0; gauge < 3; ++gauge)
    for (std::size_t step = 0; step < 2; ++step) {
      SCOPED_TRACE(gauge * 10 + step);
      Case other;
      if (one.table.is_measured(gauge, step))
        other.table.set_missing(gauge, step);
      else
        other.table.set(gauge, step, 0);
      EXPECT_NE(other.hash(), one.hash());
      EXPECT_FALSE(other.holds(one.hash()));
    }
  Case finer;
  finer.table.set(0, 1, 0.201F);
  EXPECT_FALSE(finer.holds(one.hash()));
}

TEST(EvidenceHash, ChangesWithWhatTheFindingIs) {
  const Case one;
  Case other;
  other.finding.kind = FindingKind::partly_blocked;
  EXPECT_FALSE(other.holds(one.hash()));
  other = Case();
  other.finding.gauge = 2;
  EXPECT_FALSE(other.holds(one.hash()));
  other = Case();
  other.finding.from = at("2024-03-01T01:00Z");
  EXPECT_FALSE(other.holds(one.hash()));
}

TEST(EvidenceHash, HoldsWhenTheSameDataAreCalledAtAnotherTime) {
  const Case one;
  Case later;
  later.finding.called = at("2024-03-01T03:00Z");
  EXPECT_NE(later.hash(), one.hash());
  EXPECT_TRUE(later.holds(one.hash()));
  EXPECT_TRUE(one.holds(later.hash()));
}

TEST(EvidenceHash, DoesNotDependOnTheOrderOfGauges) {
  const Case one;
  Case turned;
  std::swap(turned.network.gauges[0], turned.network.gauges[2]);
  for (std::size_t step = 0; step < 3; ++step) {
    turned.table.set(0, step, one.table.depth_mm(2, step));
    turned.table.set(2, step, one.table.depth_mm(0, step));
  }
  turned.finding.gauge = 2;
  EXPECT_EQ(turned.hash(), one.hash());
}

TEST(EvidenceHash, LooksAtNoNeighbourWhereTheCheckDidNot) {
  Case one;
  one.finding.kind = FindingKind::stuck;
  const std::string before = one.hash();
  one.table.set(1, 0, 5);
  EXPECT_EQ(one.hash(), before);
}

TEST(EvidenceHash, KnowsItsOwnForm) {
  EXPECT_TRUE(called_in_evidence("20240301T0200Z-0123456789abcdef"));
  for (const char* text : {"", "0123456789abcdef", "20240301T0200Z-0123456789ABCDEF",
                           "20240301T0200Z0123456789abcdef0", "20240301T0200Z-0123456789abcde",
                           "20240301T0260Z-0123456789abcdef"})
    EXPECT_FALSE(called_in_evidence(text)) << text;
}

}  // namespace
}  // namespace gaugeloom
