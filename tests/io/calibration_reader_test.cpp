#include "gaugeloom/io/calibration_reader.hpp"

#include <gtest/gtest.h>

#include "support/rain_text.hpp"
#include "support/refusal.hpp"
#include "support/temporary_folder.hpp"

namespace gaugeloom {
namespace {

auto read(const std::string& rows, bool strict = false) {
  const support::TemporaryFolder folder;
  Notices notices;
  return read_calibrations(folder.write("calibration.csv", "gauge,intensity_mm_h,factor\n" + rows),
                           support::network_of({"A", "B"}), strict, notices);
}

std::string refusal(const std::string& rows, bool strict = false) {
  return support::refusal_of("calibration.csv", [&] { read(rows, strict); });
}

TEST(CalibrationReader, ReadsATablePerGauge) {
  const auto tables = read("B,100,1.04\nB,20,0.99\nZ,20,1\n");
  ASSERT_EQ(tables.size(), 1U);
  EXPECT_DOUBLE_EQ(tables.at(1).factor(60), 1.015);
}

TEST(CalibrationReader, NamesWhatIsWrong) {
  EXPECT_EQ(refusal("A,-1,1\n"), "calibration.csv:2:3: an intensity is 0 mm/h or more; correct it");
  EXPECT_EQ(refusal("A,20,102\n"),
            "calibration.csv:2:6: a factor is between 0.5 and 2: true depth over indicated depth; "
            "correct it");
  EXPECT_EQ(refusal("A,20,1\nA,20,1.1\n"),
            "calibration.csv:3:3: this intensity stands twice for its gauge; keep one factor");
  EXPECT_EQ(refusal("Z,20,1\n", true),
            "calibration.csv:2:1: gauge 'Z' is not in the gauge list; add it there, or leave out "
            "--strict");
}

}  // namespace
}  // namespace gaugeloom
