// The plain statistics that the checks are held against, on normal values.
#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <vector>

#include "gaugeloom/core/cusum.hpp"
#include "gaugeloom/core/modified_z.hpp"
#include "support/csv_table.hpp"

namespace gaugeloom {
namespace {

double mean_run_length(double allowance, double limit, double shift, bool two_sided, int runs) {
  std::mt19937_64 engine(7);
  std::normal_distribution<double> normal(shift, 1);
  double steps = 0;
  for (int run = 0; run < runs; ++run) {
    Cusum sums(allowance);
    do {
      sums.add(normal(engine));
      ++steps;
    } while (!((two_sided ? sums.level() : sums.above()) > limit));
  }
  return steps / runs;
}

// Run lengths: computed; those for allowance 0.5 agree with the table in D. Montgomery,
// Introduction to Statistical Quality Control (from memory).
TEST(PlainStatistics, CusumRunLengthsAreThoseOfTheTable) {
  const auto table = support::CsvTable::read("reference/data/cusum_run_lengths.csv");
  ASSERT_EQ(table.rows(), 80U);
  // A run length is at worst nearly exponential: 4.5 standard errors.
  constexpr int kRuns = 3000;
  const double tolerance = 4.5 / std::sqrt(static_cast<double>(kRuns));
  for (std::size_t row = 0; row < table.rows(); ++row) {
    SCOPED_TRACE(row);
    for (const bool two_sided : {false, true}) {
      const double expected = table.number(row, two_sided ? "ARL_two_sided" : "ARL_one_sided");
      const double length = mean_run_length(table.number(row, "k"), table.number(row, "h"),
                                            table.number(row, "shift_sigma"), two_sided, kRuns);
      EXPECT_NEAR(length / expected, 1, tolerance);
    }
  }
}

// False alarms of a score beyond 3.5 on clean normal samples: computed by simulation; the score
// itself is that of B. Iglewicz and D. Hoaglin, How to Detect and Handle Outliers, 1993.
TEST(PlainStatistics, ModifiedZScoresGiveTheFalseAlarmsOfTheTable) {
  const auto table = support::CsvTable::read("reference/data/modified_z_false_alarms.csv");
  ASSERT_EQ(table.rows(), 8U);
  std::mt19937_64 engine(11);
  std::normal_distribution<double> normal;
  for (std::size_t row = 0; row < table.rows(); ++row) {
    const auto count = static_cast<std::size_t>(table.number(row, "n"));
    constexpr int kSamples = 40000;
    int any = 0;
    double values = 0;
    std::vector<double> sample(count);
    for (int i = 0; i < kSamples; ++i) {
      for (double& value : sample) value = normal(engine);
      const ModifiedZ score(sample);
      int beyond = 0;
      for (const double value : sample) beyond += std::abs(score(value)) > 3.5 ? 1 : 0;
      values += beyond;
      any += beyond > 0 ? 1 : 0;
    }
    SCOPED_TRACE(count);
    // 4.5 standard errors of both simulations.
    const double share = table.number(row, "P(any) per sample");
    EXPECT_NEAR(any / static_cast<double>(kSamples), share, 4.5 * std::sqrt(2 * share / kSamples));
    const double each = table.number(row, "P(|M|>3.5) per value");
    EXPECT_NEAR(values / (static_cast<double>(kSamples) * static_cast<double>(count)) / each, 1,
                0.05);
  }
}

TEST(PlainStatistics, ModifiedZOfSamplesWithoutASpread) {
  const std::vector<double> none;
  EXPECT_EQ(ModifiedZ(none)(5), 0);
  const std::vector<double> equal{2, 2, 2};
  EXPECT_EQ(ModifiedZ(equal)(5), 0);
  // More than half are equal: the mean deviation of 1 stands in.
  const std::vector<double> mostly{0, 0, 0, 4};
  EXPECT_NEAR(ModifiedZ(mostly)(4), 4 / 1.253314, 1e-12);
  const std::vector<double> even{1, 2, 3, 10};
  EXPECT_EQ(ModifiedZ(even)(2.5), 0);  // the middle of the middle two
}

}  // namespace
}  // namespace gaugeloom
