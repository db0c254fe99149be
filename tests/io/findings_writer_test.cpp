#include "gaugeloom/io/findings_writer.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/io/small_table_reader.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "support/rain_text.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

Instant at(const char* text) { return parse_iso8601(text)->utc(); }

TEST(FindingsWriter, WritesRowsThatReadBack) {
  const Network network = support::network_of({"A", "B", "C"});
  Finding finding;
  finding.gauge = 1;
  finding.kind = FindingKind::blocked;
  finding.tier = Tier::confirmed;
  finding.from = at("2024-03-01T00:00Z");
  finding.to = at("2024-03-02T00:00Z");
  finding.called = at("2024-03-01T05:00Z");
  finding.score = 12.345;
  finding.observed_mm = 0;
  finding.expected_mm = 7.25;
  finding.neighbours = {0, 2};
  finding.reason = "No tips, while \"A\" and C were wet.";
  finding.innocent_explanation = "a dry shadow";
  Finding lasting = finding;
  lasting.to.reset();
  lasting.expected_mm = std::nan("");
  lasting.neighbours.clear();
  lasting.reason = "It lasts.";

  const support::TemporaryFolder folder;
  AtomicFile file(folder / "findings.csv");
  const std::vector<FindingReview> reviews = {
      {"", "20240301T0500Z-0123456789abcdef", "accepted by A, B on 2024-03-05"}, {}};
  write_findings(file, std::vector{finding, lasting}, network, reviews);
  file.commit();
  EXPECT_EQ(support::read_file(folder / "findings.csv"),
            "finding_id,gauge,from,to,called,finding,tier,score,observed_mm,expected_mm,neighbours,"
            "reason,innocent_explanation,evidence_hash,decision\n"
            "B-blocked-20240301T0000Z,B,2024-03-01T00:00:00Z,2024-03-02T00:00:00Z,"
            "2024-03-01T05:00:00Z,blocked,confirmed,12.35,0.000,7.250,A;C,"
            "\"No tips, while \"\"A\"\" and C were wet.\",a dry shadow,"
            "20240301T0500Z-0123456789abcdef,\"accepted by A, B on 2024-03-05\"\n"
            "B-blocked-20240301T0000Z,B,2024-03-01T00:00:00Z,,2024-03-01T05:00:00Z,blocked,"
            "confirmed,12.35,0.000,,,It lasts.,a dry shadow,,\n");

  const SmallTable table = read_small_table(folder / "findings.csv");
  ASSERT_EQ(table.row_count(), 2U);
  EXPECT_EQ(table.text(0, table.required_column("reason")), finding.reason);
  EXPECT_EQ(parse_finding_kind(table.text(0, table.required_column("finding"))), finding.kind);
  EXPECT_EQ(table.time(0, table.required_column("from")), finding.from);
  EXPECT_EQ(table.optional_time(0, table.required_column("to")), finding.to);
  EXPECT_EQ(table.optional_time(1, table.required_column("to")), std::nullopt);
  EXPECT_EQ(table.optional_number(1, table.required_column("expected_mm")), std::nullopt);
}

}  // namespace
}  // namespace gaugeloom
