#include <gtest/gtest.h>

#include "gaugeloom/rain/finding.hpp"
#include "gaugeloom/rain/gauge.hpp"
#include "gaugeloom/rain/quality.hpp"
#include "gaugeloom/rain/series_record.hpp"
#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom {
namespace {

// The quality words of OGC WaterML 2.0, published.
TEST(Words, AreReadBackAsWritten) {
  for (const char* text : {"good", "suspect", "estimate", "poor", "unchecked", "missing"}) {
    ASSERT_TRUE(parse_quality(text)) << text;
    EXPECT_EQ(word(*parse_quality(text)), text);
  }
  for (int i = 0; i <= static_cast<int>(FindingKind::not_testable); ++i) {
    const auto kind = static_cast<FindingKind>(i);
    EXPECT_EQ(parse_finding_kind(word(kind)), kind);
  }
  for (int i = 0; i <= static_cast<int>(Origin::none); ++i) {
    const auto origin = static_cast<Origin>(i);
    EXPECT_EQ(parse_origin(word(origin)), origin);
  }
  EXPECT_FALSE(parse_quality("Good"));
  EXPECT_FALSE(parse_finding_kind(""));
}

TEST(Words, NameAFindingByGaugeKindAndBeginning) {
  Finding finding;
  finding.kind = FindingKind::blocked;
  finding.from = parse_iso8601("2023-10-04T10:20:00Z")->utc();
  EXPECT_EQ(finding_id("V07", finding), "V07-blocked-20231004T1020Z");
}

TEST(Words, LabelAGaugeByNameAndId) {
  Gauge gauge;
  gauge.id = "V07";
  EXPECT_EQ(gauge.label(), "V07");
  gauge.name = "Upper Ford";
  EXPECT_EQ(gauge.label(), "Upper Ford (V07)");
}

TEST(SeriesRecord, StartsFromTheInputBitForBit) {
  RainTable table(StepAxis(Instant{}, std::chrono::hours{1}, 3), 1);
  table.set(0, 1, 0.2F);
  const SeriesRecord record = unchecked_record(table);
  EXPECT_EQ(record.quality.at(0, 0), Quality::missing);
  EXPECT_EQ(record.quality.at(0, 1), Quality::unchecked);
  EXPECT_EQ(record.origin[1], Origin::measured);
  EXPECT_EQ(record.depth.depth_mm(0, 1), 0.2F);
  EXPECT_FALSE(record.depth.is_measured(0, 2));
}

}  // namespace
}  // namespace gaugeloom
