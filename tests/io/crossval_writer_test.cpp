#include "gaugeloom/io/crossval_writer.hpp"

#include <gtest/gtest.h>
#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <limits>
#include <sstream>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/random.hpp"
#include "gaugeloom/time/iso8601.hpp"
#include "io/six_decimals_internal.hpp"

namespace gaugeloom {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr float kMissing = std::numeric_limits<float>::quiet_NaN();

std::string six(double value) {
  std::array<char, kLongestFixed> text{};
  return {text.data(), write_six_decimals(text.data(), value)};
}

std::string fixed(double value) {
  std::string text;
  append_fixed(text, value, 6);
  return text;
}

TEST(SixDecimals, AgreesWithTheSlowWay) {
  Random random("AgreesWithTheSlowWay");
  for (int i = 0; i < 200000; ++i) {
    const double value = random.uniform(-1, 1) * std::ldexp(1.0, static_cast<int>(i % 90) - 45);
    ASSERT_EQ(six(value), fixed(value)) << i;
  }
  for (const double value : {0.0,
                             -0.0,
                             5e-7,
                             4.9999999e-7,
                             -5e-7,
                             0.5,
                             0.0000005,
                             1.0000005,
                             0.015625,
                             999.9999995,
                             999.9999994,
                             999999.9999996,
                             524287.9999999,
                             524288.0,
                             1e300,
                             1e-300,
                             2.5e-6,
                             kNaN,
                             static_cast<double>(0.1F),
                             std::numeric_limits<double>::infinity()}) {
    EXPECT_EQ(six(value), fixed(value)) << value;
  }
}

Network network(std::size_t gauges) {
  Network made;
  for (std::size_t i = 0; i < gauges; ++i) {
    made.gauges.emplace_back();
    made.gauges.back().id = i == 1 ? "Mill, upper" : "G" + std::to_string(i);
  }
  return made;
}

StepAxis axis(std::size_t steps) {
  return {parse_iso8601("2021-03-04T10:00Z")->utc(), std::chrono::hours(1), steps};
}

std::string written(const RainTable& table, const LeaveOneOutBlock& block,
                    const CrossvalWriteOptions& options, std::size_t first_step = 0) {
  const auto path =
      std::filesystem::temp_directory_path() / ("crossval_" + std::to_string(getpid()) + ".csv");
  AtomicFile file(path.string());
  CrossvalWriter writer(file, network(table.gauge_count()), options);
  writer.write(table, first_step, block);
  file.commit();
  std::ostringstream text;
  text << std::ifstream(path).rdbuf();
  std::filesystem::remove(path);
  return text.str();
}

TEST(CrossvalWriter, WritesARowPerMeasuredValue) {
  const RainTable table(axis(2), 2, {1.5F, kMissing, 0.0F, 0.1F});
  const LeaveOneOutBlock block{
      2, 2, {1.25, 9, 0, 2.0000005}, {0.0625, 4, 0, kNaN}, {16, 3, 1, 1204}};
  EXPECT_EQ(written(table, block, {}),
            "time,gauge,observed_mm,estimate_mm,standard_error_mm,standardised_error,neighbours\n"
            "2021-03-04T10:00:00Z,G0,1.500000,1.250000,0.250000,1.000000,16\n"
            "2021-03-04T10:00:00Z,\"Mill, upper\",0.000000,0.000000,0.000000,,1\n"
            "2021-03-04T11:00:00Z,\"Mill, upper\",0.100000,2.000001,,,1204\n");
}

TEST(CrossvalWriter, LeavesErrorsEmptyWhenAsked) {
  const RainTable table(axis(3), 1, {1.5F, 2.0F, 2.5F});
  const LeaveOneOutBlock block{1, 1, {kNaN}, {kNaN}, {0}};
  EXPECT_EQ(written(table, block, {}, 2),
            "time,gauge,observed_mm,estimate_mm,standard_error_mm,standardised_error,neighbours\n"
            "2021-03-04T12:00:00Z,G0,2.500000,,,,0\n");
  const LeaveOneOutBlock inverse{1, 1, {2.25}, {kNaN}, {5}};
  EXPECT_EQ(written(table, inverse, {false, 1}, 2),
            "time,gauge,observed_mm,estimate_mm,standard_error_mm,standardised_error,neighbours\n"
            "2021-03-04T12:00:00Z,G0,2.500000,2.250000,,,5\n");
}

TEST(CrossvalWriter, WritesTheSameBytesForAnyNumberOfThreads) {
  constexpr std::size_t kGauges = 30;
  constexpr std::size_t kSteps = 100;
  Random random("WritesTheSameBytes");
  std::vector<float> values;
  LeaveOneOutBlock block{kGauges, kSteps, {}, {}, {}};
  for (std::size_t i = 0; i < kGauges * kSteps; ++i) {
    values.push_back(random.chance(0.1) ? kMissing : static_cast<float>(random.exponential(3)));
    // Some numbers too long for a usual row.
    block.estimate.push_back(random.chance(0.3) ? 1e200 : random.exponential(3));
    block.variance.push_back(random.chance(0.2) ? 1e-100 : random.uniform());
    block.neighbours.push_back(static_cast<std::uint16_t>(random.below(20)));
  }
  const RainTable table(axis(kSteps), kGauges, values);
  const std::string want = written(table, block, {true, 1});
  for (const int threads : {2, 7}) EXPECT_EQ(written(table, block, {true, threads}), want);
}

TEST(CrossvalWriter, SaysSoWhenTheDiskIsFull) {
  constexpr std::size_t kGauges = 400;
  const RainTable table(axis(200), kGauges, std::vector<float>(kGauges * 200, 1.0F));
  const BulkVector<double> ones(kGauges * 200, 1.0);
  const LeaveOneOutBlock block{kGauges, 200, ones, ones,
                               BulkVector<std::uint16_t>(kGauges * 200, 0)};
  const auto path = std::filesystem::temp_directory_path() /
                    ("crossval_full_" + std::to_string(getpid()) + ".csv");
  for (const long call : {2L, 3L, 4L}) {
    EXPECT_THROW(
        {
          AtomicFile file(path.string(), {call});
          CrossvalWriter writer(file, network(kGauges), {true, 3});
          writer.write(table, 0, block);
          file.commit();
        },
        Error);
    EXPECT_FALSE(std::filesystem::exists(path));
  }
}

}  // namespace
}  // namespace gaugeloom
