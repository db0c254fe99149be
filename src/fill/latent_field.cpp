#include "fill/latent_field_internal.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "fill/rows_by_id_internal.hpp"
#include "gaugeloom/core/hash.hpp"
#include "gaugeloom/core/normal_law.hpp"

namespace gaugeloom::fill_internal {
namespace {

constexpr double kBetween = 0.95;  // at no distance: two gauges on one spot still differ
constexpr std::size_t kPlaces = 4096;
constexpr std::size_t kMembersPerWord = 4;

// Normal numbers at the middles of equal shares, scaled to variance 1.
std::array<double, kPlaces> normal_numbers() {
  std::array<double, kPlaces> numbers{};
  double squares = 0;
  for (std::size_t i = 0; i < kPlaces; ++i) {
    numbers[i] = normal_quantile((static_cast<double>(i) + 0.5) / kPlaces);
    squares += numbers[i] * numbers[i];
  }
  for (double& number : numbers) number /= std::sqrt(squares / kPlaces);
  return numbers;
}

double spherical(double distance_m, double range_m) {
  if (!(distance_m < range_m)) return 0;
  const double share = distance_m / range_m;
  return 1 - share * (1.5 - 0.5 * share * share);
}

// The lower triangle L with L L' = the correlations of the gauges in this order.
std::vector<std::vector<double>> triangle(const Network& network,
                                          std::span<const std::size_t> order, double range_m) {
  std::vector<std::vector<double>> rows;
  for (std::size_t i = 0; i < order.size(); ++i) {
    std::vector<double> row(i + 1, 0);
    double rest = 1;
    for (std::size_t j = 0; j < i; ++j) {
      const double apart_m =
          distance_m(network.gauges[order[i]].position, network.gauges[order[j]].position);
      double value = kBetween * spherical(apart_m, range_m);
      for (std::size_t k = 0; k < j; ++k) value -= row[k] * rows[j][k];
      row[j] = value / rows[j][j];
      rest -= row[j] * row[j];
    }
    row[i] = std::sqrt(rest);  // above 0: each gauge has noise of its own
    rows.push_back(std::move(row));
  }
  return rows;
}

}  // namespace

NodePlace node_place(Instant end, std::chrono::seconds scale, std::chrono::seconds step) {
  const auto time = std::chrono::floor<std::chrono::seconds>(end.time_since_epoch()).count();
  if (scale == step) return {time, 1, 0};
  const std::int64_t length = scale.count();
  const std::int64_t node = (time - ((time % length) + length) % length) / length;
  const double after = static_cast<double>(time - node * length) / static_cast<double>(length);
  const double size = std::sqrt((1 - after) * (1 - after) + after * after);
  return {node, (1 - after) / size, after / size};
}

double correlation(const NodePlace& a, const NodePlace& b) {
  if (a.node == b.node) return a.before * b.before + a.after * b.after;
  if (b.node == a.node + 1) return a.after * b.before;
  if (a.node == b.node + 1) return b.after * a.before;
  return 0;
}

LatentField::LatentField(const Network& network, double range_m,
                         std::vector<std::chrono::seconds> scales, std::uint64_t seed)
    : scales_(std::move(scales)), seed_(seed), parts_(network.size()) {
  const std::vector<std::size_t> order = rows_by_id(network);
  const auto rows = triangle(network, order, range_m);
  for (std::size_t i = 0; i < order.size(); ++i)
    for (std::size_t j = 0; j <= i; ++j)
      if (rows[i][j] != 0)
        parts_[order[i]].push_back({hash_bytes(network.gauges[order[j]].id), rows[i][j]});
}

void LatentField::numbers(std::size_t gauge, std::size_t scale, std::int64_t node,
                          std::span<double> out) const {
  static const std::array<double, kPlaces> normal = normal_numbers();
  const auto length = static_cast<std::uint64_t>(scales_[scale].count());
  const std::uint64_t key =
      mix_bits(mix_bits(mix_bits(seed_) ^ length) ^ static_cast<std::uint64_t>(node));
  std::fill(out.begin(), out.end(), 0.0);
  for (const Part& part : parts_[gauge]) {
    const std::uint64_t own = mix_bits(key ^ part.key);
    for (std::size_t m = 0; m < out.size(); m += kMembersPerWord) {
      std::uint64_t bits = mix_bits(own ^ (m / kMembersPerWord));
      for (std::size_t i = m; i < std::min(out.size(), m + kMembersPerWord); ++i, bits >>= 16)
        out[i] += part.weight * normal[bits % kPlaces];
    }
  }
}

LatentWalk::LatentWalk(const LatentField& field, std::size_t gauge, std::span<const double> shares,
                       std::size_t members)
    : field_(field), gauge_(gauge), nodes_(shares.size()) {
  for (const double share : shares) weights_.push_back(std::sqrt(share));
  for (Nodes& nodes : nodes_) {
    nodes.before.resize(members);
    nodes.after.resize(members);
  }
}

void LatentWalk::go_to(std::size_t scale, std::int64_t node, bool next_too) {
  Nodes& nodes = nodes_[scale];
  if (nodes.is_known && nodes.node == node) return;
  if (nodes.is_known && nodes.node + 1 == node && next_too)
    std::swap(nodes.before, nodes.after);
  else
    field_.numbers(gauge_, scale, node, nodes.before);
  if (next_too) field_.numbers(gauge_, scale, node + 1, nodes.after);
  nodes.is_known = true;
  nodes.node = node;
}

void LatentWalk::at(Instant end, std::span<double> out) {
  std::fill(out.begin(), out.end(), 0.0);
  for (std::size_t scale = 0; scale < weights_.size(); ++scale) {
    if (weights_[scale] <= 0) continue;
    const NodePlace place = node_place(end, field_.scales()[scale], field_.scales().front());
    go_to(scale, place.node, scale > 0);
    const double before = weights_[scale] * place.before;
    const double after = weights_[scale] * place.after;
    const Nodes& nodes = nodes_[scale];
    for (std::size_t m = 0; m < out.size(); ++m) out[m] += before * nodes.before[m];
    if (scale == 0) continue;
    for (std::size_t m = 0; m < out.size(); ++m) out[m] += after * nodes.after[m];
  }
}

}  // namespace gaugeloom::fill_internal
