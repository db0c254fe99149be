#include "gaugeloom/io/temperature_reader.hpp"

#include <gtest/gtest.h>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "support/rain_text.hpp"
#include "support/refusal.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

std::vector<TemperatureReading> read(std::string_view text, Notices& notices, bool strict = false) {
  const support::TemporaryFolder folder;
  return read_temperatures(folder.write("cold.csv", text), support::network_of({"A", "B"}), strict,
                           notices);
}

std::string refusal(std::string_view text, bool strict = false) {
  Notices notices;
  return support::refusal_of("cold.csv", [&] { read(text, notices, strict); });
}

TEST(TemperatureReader, ReadsReadingsOfOneGaugeAndOfAll) {
  Notices notices;
  const auto readings = read(
      "time,gauge,celsius\n2021-01-10T07:00+01:00,B,-3.5\n2021-01-10T06:00Z,*,1\n"
      "2021-01-10T07:00Z,A,\n2021-01-10T07:00Z,Z,4\n",
      notices);
  ASSERT_EQ(readings.size(), 2U);
  EXPECT_EQ(format_utc(readings[0].time), "2021-01-10T06:00:00Z");
  EXPECT_EQ(readings[0].gauge, 1U);
  EXPECT_DOUBLE_EQ(readings[0].celsius, -3.5);
  EXPECT_FALSE(readings[1].gauge.has_value());
  ASSERT_EQ(notices.size(), 1U);
  EXPECT_NE(notices[0].find("left out 1 rows"), std::string::npos);
}

TEST(TemperatureReader, RefusesWhatCannotBeMeant) {
  EXPECT_EQ(
      refusal("time,gauge,celsius\n2021-01-10T07:00Z,A,273.1\n"),
      "cold.csv:2:21: 273.1 degrees Celsius was never measured on Earth; correct it, or leave "
      "it empty");
  EXPECT_NE(refusal("time,gauge,celsius\n2021-01-10T07:00Z,A,warm\n").find("cold.csv:2:21"),
            std::string::npos);
  EXPECT_NE(refusal("time,gauge,celsius\nsoon,A,1\n").find("is not a time"), std::string::npos);
  EXPECT_EQ(refusal("time,gauge,celsius\n2021-01-10T07:00Z,Z,1\n", true),
            "cold.csv:2:19: gauge 'Z' is not in the gauge list; add it there, or leave out "
            "--strict");
  EXPECT_NE(refusal("time,celsius\n2021-01-10T07:00Z,1\n").find("no column 'gauge'"),
            std::string::npos);
}

}  // namespace
}  // namespace gaugeloom
