#include "gaugeloom/io/members_writer.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/time/iso8601.hpp"
#include "support/rain_text.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

using support::network_of;
using support::read_file;
using support::TemporaryFolder;

const Network kTwo = network_of({"A", "b, low"});

// Two gauges, `hours` hours: measured; in hour 1 one is estimated without any doubt, one missing.
FillResult small_fill(std::size_t hours) {
  RainTable observed(
      StepAxis(parse_iso8601("2024-03-01T00:00Z")->utc(), std::chrono::hours{1}, hours), 2);
  for (std::size_t s = 0; s < hours; ++s)
    for (std::size_t g = 0; g < 2; ++g)
      if (s != 1) observed.set(g, s, 0.2F);
  FillResult filled;
  filled.record = unchecked_record(std::move(observed), Quality::good);
  make_room_for_bounds(filled.record);
  const std::size_t i = filled.record.index(0, 1);
  filled.record.depth.set(0, 1, 1.5F);
  filled.record.origin[i] = Origin::neighbours;
  filled.record.low_mm[i] = filled.record.high_mm[i] = 1.5F;
  filled.record.standard_error_mm[i] = 0;
  return filled;
}

std::string written(const FillResult& filled, int members, const MembersWriteOptions& options) {
  const Ensemble ensemble(kTwo, {}, filled, {members, 1, 0});
  const TemporaryFolder folder;
  AtomicFile file(folder / "members.csv");
  write_members(file, ensemble, filled.record, kTwo, options);
  file.commit();
  return read_file(folder / "members.csv");
}

TEST(MembersWriter, WritesWhatWasEstimated) {
  EXPECT_EQ(written(small_fill(3), 2, {}),
            "time,gauge,member_1,member_2\n"
            "2024-03-01T01:00:00Z,A,1.500,1.500\n");
}

TEST(MembersWriter, WritesEveryStepIfAsked) {
  EXPECT_EQ(written(small_fill(2), 2, {true, false, 0}),
            "time,gauge,member_1,member_2\n"
            "2024-03-01T00:00:00Z,A,0.200,0.200\n"
            "2024-03-01T00:00:00Z,\"b, low\",0.200,0.200\n"
            "2024-03-01T01:00:00Z,A,1.500,1.500\n"
            "2024-03-01T01:00:00Z,\"b, low\",,\n");
}

TEST(MembersWriter, WritesTheSameBytesWithAnyNumberOfThreads) {
  FillResult filled = small_fill(5000);
  for (std::size_t s = 100; s < 4000; ++s) {
    const std::size_t i = filled.record.index(1, s);
    filled.record.depth.set(1, s, 1);
    filled.record.origin[i] = Origin::neighbours;
    filled.record.low_mm[i] = 0;
    filled.record.high_mm[i] = 3;
    filled.record.standard_error_mm[i] = 0.9F;
  }
  for (const bool gzip : {false, true}) {
    const std::string one = written(filled, 300, {false, gzip, 1});  // several blocks
    EXPECT_EQ(one, written(filled, 300, {false, gzip, 3}));
    EXPECT_GT(one.size(), 100000U);
  }
}

}  // namespace
}  // namespace gaugeloom
