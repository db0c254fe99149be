#include "gaugeloom/io/outage_reader.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "support/rain_text.hpp"
#include "support/refusal.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

std::vector<Outage> read(std::string_view text, Notices& notices, bool strict = false) {
  const support::TemporaryFolder folder;
  return read_outages(folder.write("outages.csv", text), support::network_of({"A", "B"}), strict,
                      notices);
}

std::string refusal(std::string_view text, bool strict = false) {
  Notices notices;
  return support::refusal_of("outages.csv", [&] { read(text, notices, strict); });
}

TEST(OutageReader, ReadsOpenAndClosedOutages) {
  Notices notices;
  const auto outages = read(
      "gauge,from,to,cause\nB,2024-03-01T10:00+01:00,2024-03-02T00:00Z,\"battery, flat\"\n"
      "A,2024-03-05T00:00Z,,\nZ,2024-03-05T00:00Z,,\n",
      notices);
  ASSERT_EQ(outages.size(), 2U);
  EXPECT_EQ(outages[0].gauge, 1U);
  EXPECT_EQ(format_utc(outages[0].over.from), "2024-03-01T09:00:00Z");
  EXPECT_EQ(format_utc(outages[0].over.to), "2024-03-02T00:00:00Z");
  EXPECT_EQ(outages[0].cause, "battery, flat");
  EXPECT_EQ(outages[1].over.to, Instant::max());
  ASSERT_EQ(notices.size(), 1U);
  EXPECT_NE(notices[0].find("left out 1 rows of gauges that are not in the gauge list"),
            std::string::npos);
}

TEST(OutageReader, RefusesWhatCannotBeMeant) {
  EXPECT_EQ(refusal("gauge,from,to\nA,2024-03-02T00:00Z,2024-03-02T00:00Z\n"),
            "outages.csv:2:21: the outage ends before it begins; put the later time in 'to', or "
            "leave it empty while the outage lasts");
  EXPECT_EQ(refusal("gauge,from,to\n,2024-03-02T00:00Z,\n"),
            "outages.csv:2:1: gauge is empty; fill it in");
  EXPECT_NE(refusal("gauge,from,to\nA,yesterday,\n").find("is not a time"), std::string::npos);
  EXPECT_NE(refusal("gauge,from\nA,2024-03-02T00:00Z\n").find("no column 'to'"), std::string::npos);
  EXPECT_NE(refusal("gauge,from,to\nZ,2024-03-02T00:00Z,\n", true).find("not in the gauge list"),
            std::string::npos);
}

}  // namespace
}  // namespace gaugeloom
