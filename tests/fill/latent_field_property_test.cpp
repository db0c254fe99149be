#include "fill/latent_field_internal.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "gaugeloom/time/iso8601.hpp"

namespace gaugeloom::fill_internal {
namespace {

using std::chrono::seconds;

constexpr seconds kStep{300};
constexpr double kRangeM = 10000;
const std::vector<seconds> kScales{kStep, seconds{3600}, seconds{21600}};

Network on_a_line(const std::vector<std::pair<std::string, double>>& gauges) {
  Network network;
  for (const auto& [id, x_m] : gauges) {
    Gauge gauge;
    gauge.id = id;
    gauge.position = {x_m, 0};
    network.gauges.push_back(gauge);
  }
  return network;
}

std::vector<double> numbers(const LatentField& field, std::size_t gauge, std::size_t scale,
                            std::int64_t node, std::size_t members) {
  std::vector<double> out(members);
  field.numbers(gauge, scale, node, out);
  return out;
}

double mean_product(const std::vector<double>& a, const std::vector<double>& b) {
  double sum = 0;
  for (std::size_t i = 0; i < a.size(); ++i) sum += a[i] * b[i];
  return sum / static_cast<double>(a.size());
}

constexpr std::size_t kMany = 20000;
constexpr double kSlack = 0.04;  // four standard errors of a mean product of so many

TEST(LatentField, HasVarianceOneAndASphericalCorrelation) {
  const Network network = on_a_line({{"A", 0}, {"B", 0}, {"C", 4000}, {"D", 12000}});
  const LatentField field(network, kRangeM, kScales, 1);
  std::vector<std::vector<double>> of;
  for (std::size_t g = 0; g < 4; ++g) of.push_back(numbers(field, g, 1, 7, kMany));
  for (std::size_t g = 0; g < 4; ++g) {
    EXPECT_NEAR(mean_product(of[g], std::vector<double>(kMany, 1)), 0, kSlack);
    EXPECT_NEAR(mean_product(of[g], of[g]), 1, kSlack);
  }
  EXPECT_NEAR(mean_product(of[0], of[1]), 0.95, kSlack);
  EXPECT_NEAR(mean_product(of[0], of[2]), 0.95 * (1 - 1.5 * 0.4 + 0.5 * 0.064), kSlack);
  EXPECT_NEAR(mean_product(of[0], of[3]), 0, kSlack);
  EXPECT_NEAR(mean_product(of[2], of[3]), 0.95 * (1 - 1.5 * 0.8 + 0.5 * 0.512), kSlack);
}

TEST(LatentField, IsTheSameBesideGaugesOutOfReachAndInAnyOrder) {
  const LatentField few(on_a_line({{"B", 0}, {"C", 4000}}), kRangeM, kScales, 1);
  const LatentField more(on_a_line({{"C", 4000}, {"A", 90000}, {"B", 0}}), kRangeM, kScales, 1);
  for (std::size_t scale = 0; scale < kScales.size(); ++scale) {
    EXPECT_EQ(numbers(few, 0, scale, 5, 9), numbers(more, 2, scale, 5, 9));
    EXPECT_EQ(numbers(few, 1, scale, 5, 9), numbers(more, 0, scale, 5, 9));
  }
}

TEST(LatentField, GivesTheFirstMembersWhateverTheirNumber) {
  const LatentField field(on_a_line({{"A", 0}}), kRangeM, kScales, 1);
  std::vector<double> many = numbers(field, 0, 0, 3, 11);
  many.resize(6);
  EXPECT_EQ(numbers(field, 0, 0, 3, 6), many);
  const LatentField other(on_a_line({{"A", 0}}), kRangeM, kScales, 2);
  EXPECT_NE(numbers(other, 0, 0, 3, 6), many);
}

TEST(LatentField, PlacesTimesBetweenNodes) {
  const Instant midnight = parse_iso8601("1969-12-31T00:00Z")->utc();  // before all nodes of 1970
  for (int minutes = 0; minutes < 600; minutes += 5) {
    const NodePlace place = node_place(midnight + std::chrono::minutes{minutes}, kScales[1], kStep);
    EXPECT_EQ(place.node, -24 + minutes / 60);
    EXPECT_NEAR(place.before * place.before + place.after * place.after, 1, 1e-12);
    EXPECT_EQ(place.after == 0, minutes % 60 == 0);
  }
  const NodePlace alone = node_place(midnight, kStep, kStep);
  EXPECT_EQ(alone.after, 0);
  EXPECT_EQ(correlation(alone, node_place(midnight + kStep, kStep, kStep)), 0);
}

TEST(LatentWalk, HasTheCorrelationThatItsNodesSay) {
  const LatentField field(on_a_line({{"A", 0}}), kRangeM, kScales, 1);
  const std::vector<double> shares{0.2, 0.5, 0.3};
  const Instant begin = parse_iso8601("2024-06-01T00:10Z")->utc();
  const auto at = [&](int steps) {
    LatentWalk walk(field, 0, shares, kMany);
    std::vector<double> out(kMany);
    walk.at(begin + steps * kStep, out);
    return out;
  };
  const std::vector<double> first = at(0);
  EXPECT_NEAR(mean_product(first, first), 1, kSlack);
  for (const int steps : {1, 6, 12, 30, 200}) {
    SCOPED_TRACE(steps);
    double wanted = 0;
    for (std::size_t scale = 1; scale < kScales.size(); ++scale)
      wanted +=
          shares[scale] * correlation(node_place(begin, kScales[scale], kStep),
                                      node_place(begin + steps * kStep, kScales[scale], kStep));
    EXPECT_NEAR(mean_product(first, at(steps)), wanted, kSlack);
  }
}

TEST(LatentWalk, IsTheSameFromAnyBeginning) {
  const LatentField field(on_a_line({{"A", 0}, {"B", 3000}}), kRangeM, kScales, 1);
  const std::vector<double> shares{0.2, 0.5, 0.3};
  const Instant begin = parse_iso8601("2024-06-01T00:05Z")->utc();
  LatentWalk long_walk(field, 1, shares, 5);
  std::vector<double> walked(5);
  std::vector<double> alone(5);
  for (int steps = 0; steps < 300; steps += steps % 7 == 0 ? 1 : 3) {
    const Instant end = begin + steps * kStep;
    long_walk.at(end, walked);
    LatentWalk(field, 1, shares, 5).at(end, alone);
    ASSERT_EQ(walked, alone) << steps;
  }
}

}  // namespace
}  // namespace gaugeloom::fill_internal
