#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <limits>
#include <string>
#include <vector>

#include "gaugeloom/core/error.hpp"
#include "gaugeloom/core/random.hpp"
#include "gaugeloom/core/vector_level.hpp"
#include "gaugeloom/interp/ordinary_kriging.hpp"
#include "gaugeloom/interp/record_leave_one_out.hpp"
#include "support/random_network.hpp"

namespace gaugeloom {
namespace {

constexpr float kMissing = std::numeric_limits<float>::quiet_NaN();
constexpr std::size_t kSteps = 150;

struct Sample {
  std::vector<MetricPoint> points;
  std::vector<float> values;
  FieldRecord record() const { return {values, points.size(), kSteps}; }
};

// Runs of missing values beside single ones, as in real records.
Sample sample(std::string_view name, int points) {
  Sample made{support::random_network(name, points, 0).gauges, {}};
  Random random(name);
  for (int p = 0; p < points; ++p) {
    int outage = 0;
    for (std::size_t t = 0; t < kSteps; ++t) {
      if (outage == 0 && random.chance(0.002)) outage = 40;
      const bool gone = outage > 0 || random.chance(0.02);
      if (outage > 0) --outage;
      made.values.push_back(gone ? kMissing : static_cast<float>(random.uniform(0, 12)));
    }
  }
  return made;
}

Variogram spherical() { return {VariogramShape::spherical, 0.1, 0.9, 60000, 0.5}; }

LeaveOneOutBlock whole(const Sample& sample, const RecordLeaveOneOutOptions& options,
                       std::span<const std::uint64_t> usable = {}) {
  RecordLeaveOneOut engine(sample.points, spherical(), options);
  LeaveOneOutBlock block;
  engine.run(sample.record(), usable, 0, kSteps, block);
  return block;
}

bool same_bytes(const BulkVector<double>& a, const BulkVector<double>& b) {
  return a.size() == b.size() && std::memcmp(a.data(), b.data(), 8 * a.size()) == 0;
}

void expect_same(const LeaveOneOutBlock& a, const LeaveOneOutBlock& b) {
  EXPECT_TRUE(same_bytes(a.estimate, b.estimate));
  EXPECT_TRUE(same_bytes(a.variance, b.variance));
  EXPECT_EQ(a.neighbours, b.neighbours);
}

std::vector<RecordLeaveOneOutOptions> all_options() {
  RecordLeaveOneOutOptions keep;
  RecordLeaveOneOutOptions drop;
  drop.negative_weights = NegativeWeights::drop;
  RecordLeaveOneOutOptions inverse;
  inverse.method = InterpolationMethod::inverse_distance;
  RecordLeaveOneOutOptions many;
  many.neighbours = 30;
  RecordLeaveOneOutOptions all;
  all.neighbours = 0;
  RecordLeaveOneOutOptions all_dropped = drop;
  all_dropped.neighbours = 0;
  return {keep, drop, inverse, many, all, all_dropped};
}

TEST(RecordLeaveOneOutProperty, SameBytesForAnyThreadsAndVectorLevel) {
  const Sample data = sample("SameBytes", 100);
  for (RecordLeaveOneOutOptions options : all_options()) {
    options.threads = 1;
    const LeaveOneOutBlock first = whole(data, options);
    for (const VectorLevel level : supported_vector_levels()) {
      setenv("GAUGELOOM_VECTOR_LEVEL", std::string(word(level)).c_str(), 1);
      for (const int threads : {1, 2, 7}) {
        options.threads = threads;
        expect_same(first, whole(data, options));
      }
    }
    unsetenv("GAUGELOOM_VECTOR_LEVEL");
  }
}

TEST(RecordLeaveOneOutProperty, SameBytesForAnySplitIntoBlocks) {
  const Sample data = sample("SameBytesForAnySplit", 90);
  for (const RecordLeaveOneOutOptions& options : all_options()) {
    const LeaveOneOutBlock want = whole(data, options);
    RecordLeaveOneOut engine(data.points, spherical(), options);
    LeaveOneOutBlock block;
    for (std::size_t first = 0, steps = 1; first < kSteps; first += steps, steps = 3 * steps + 2) {
      steps = std::min(steps, kSteps - first);
      engine.run(data.record(), {}, first, steps, block);
      for (std::size_t p = 0; p < data.points.size(); ++p) {
        const double* at = want.estimate.data() + p * kSteps + first;
        EXPECT_EQ(std::memcmp(block.estimate.data() + p * steps, at, 8 * steps), 0);
      }
    }
  }
}

TEST(RecordLeaveOneOutProperty, KeepsAConstantField) {
  Sample data = sample("KeepsAConstantField", 60);
  for (float& value : data.values)
    if (!std::isnan(value)) value = 4.25F;
  for (const RecordLeaveOneOutOptions& options : all_options()) {
    const LeaveOneOutBlock block = whole(data, options);
    // 1e-12: 16 products and sums of numbers near 1.
    for (const double estimate : block.estimate) ASSERT_NEAR(estimate, 4.25, 1e-11);
  }
}

TEST(RecordLeaveOneOutProperty, UnusableValuesAreNoNeighboursButAreEstimated) {
  const Sample data = sample("UnusableValues", 50);
  const std::size_t words = (kSteps + 63) / 64;
  std::vector<std::uint64_t> usable(50 * words, ~std::uint64_t{0});
  Sample without = data;
  for (std::size_t t = 20; t < 140; ++t) {
    usable[7 * words + t / 64] &= ~(std::uint64_t{1} << (t % 64));
    without.values[7 * kSteps + t] = kMissing;
  }
  expect_same(whole(data, {}, usable), whole(without, {}));
  EXPECT_FALSE(same_bytes(whole(data, {}, usable).estimate, whole(data, {}).estimate));
}

TEST(RecordLeaveOneOutProperty, OneNeighbourGivesItsValueAndNoneGivesNothing) {
  const std::vector<MetricPoint> points = {{0, 0}, {5000, 0}};
  const std::vector<float> values = {1.5F, kMissing, 3.25F, 2.5F, kMissing, kMissing};
  RecordLeaveOneOut engine(points, spherical());
  LeaveOneOutBlock block;
  engine.run({values, 2, 3}, {}, 0, 3, block);
  EXPECT_EQ(block.estimate[0], 2.5);
  EXPECT_TRUE(std::isnan(block.estimate[1]));
  EXPECT_EQ(block.neighbours[1], 0);
  EXPECT_EQ(block.estimate[3], 1.5);
  EXPECT_EQ(block.estimate[5], 3.25);
  EXPECT_NEAR(block.variance[3], 2 * spherical().gamma(5000), 1e-15);
}

TEST(RecordLeaveOneOutProperty, TwoPointsAtOnePlaceWithoutANuggetAreSingular) {
  const std::vector<MetricPoint> points = {{0, 0}, {5000, 0}, {5000, 0}, {0, 9000}};
  const std::vector<float> values = {1, 2, 3, 4};
  RecordLeaveOneOut engine(points, {VariogramShape::exponential, 0, 1, 20000, 0.5});
  LeaveOneOutBlock block;
  engine.run({values, 4, 1}, {}, 0, 1, block);
  EXPECT_TRUE(std::isnan(block.estimate[0]));
  EXPECT_EQ(block.neighbours[0], 0);
  EXPECT_NEAR(block.estimate[1], 3, 1e-12);  // exact at the twin
}

TEST(RecordLeaveOneOutProperty, WholeRecordIsTheRoundedBlock) {
  const Sample data = sample("WholeRecord", 40);
  const LeaveOneOutBlock block = whole(data, {});
  const LeaveOneOutRecord record =
      leave_one_out_record(data.points, data.record(), {}, spherical());
  for (std::size_t i = 0; i < block.estimate.size(); ++i)
    ASSERT_EQ(record.estimate[i], static_cast<float>(block.estimate[i]));
  EXPECT_TRUE(std::equal(record.neighbours.begin(), record.neighbours.end(),
                         block.neighbours.begin(), block.neighbours.end()));
}

TEST(RecordLeaveOneOutProperty, RefusesOptionsOutOfRange) {
  RecordLeaveOneOutOptions options;
  options.neighbours = -1;
  EXPECT_THROW(RecordLeaveOneOut({}, spherical(), options), Error);
  options = {};
  options.power = 0;
  EXPECT_TRUE(options.problem());
  options = {};
  options.relative_noise = {-0.1};
  EXPECT_TRUE(options.problem());
}

TEST(RecordLeaveOneOutProperty, RefusesToKrigeFromAllOfTooMany) {
  const auto points =
      support::random_network("TooMany", static_cast<int>(kMostGlobalGauges) + 1, 0).gauges;
  RecordLeaveOneOutOptions options;
  options.neighbours = 0;
  EXPECT_THROW(RecordLeaveOneOut(points, spherical(), options), Error);
  options.method = InterpolationMethod::inverse_distance;
  EXPECT_NO_THROW(RecordLeaveOneOut(points, spherical(), options));
}

}  // namespace
}  // namespace gaugeloom
