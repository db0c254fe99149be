#include "gaugeloom/geo/gauge_index.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <nanoflann.hpp>

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();

bool nearer(const Neighbour& a, const Neighbour& b) {
  return a.distance_m < b.distance_m || (a.distance_m == b.distance_m && a.index < b.index);
}

bool is_available(std::span<const std::uint64_t> available, std::size_t index) {
  return available.empty() || ((available[index / 64] >> (index % 64)) & 1U) != 0;
}

// What the tree and the plain search hand their candidates to: the best `count` by distance and
// index within `radius_m`. The names of the members are nanoflann's.
class BestNeighbours {
 public:
  BestNeighbours(std::size_t count, double radius_m, std::span<const std::uint64_t> available)
      : count_(count), radius_m_(radius_m), available_(available) {}

  // A squared distance no candidate may exceed. A little larger than needed, so that ties and the
  // rounding of the tree's own bounds never cut anything off.
  double worstDist() const {
    const double worst_m = full() ? best_.back().distance_m : radius_m_;
    return worst_m * worst_m * (1 + 1e-9) + std::numeric_limits<double>::min();
  }
  bool full() const { return best_.size() == count_; }
  std::size_t size() const { return best_.size(); }

  bool addPoint(double squared_m2, std::size_t index) {
    const Neighbour candidate{index, std::sqrt(squared_m2)};
    if (candidate.distance_m > radius_m_ || !is_available(available_, index)) return true;
    if (full() && !nearer(candidate, best_.back())) return true;
    if (full()) best_.pop_back();
    best_.insert(std::upper_bound(best_.begin(), best_.end(), candidate, nearer), candidate);
    return true;
  }

  std::vector<Neighbour> take() { return std::move(best_); }

 private:
  std::size_t count_;
  double radius_m_;
  std::span<const std::uint64_t> available_;
  std::vector<Neighbour> best_;  // sorted
};

// Everything within a radius: sorted once at the end.
class AllWithin {
 public:
  explicit AllWithin(double radius_m) : radius_m_(radius_m) {}
  double worstDist() const {
    return radius_m_ * radius_m_ * (1 + 1e-9) + std::numeric_limits<double>::min();
  }
  bool full() const { return true; }
  std::size_t size() const { return found_.size(); }
  bool addPoint(double squared_m2, std::size_t index) {
    const Neighbour candidate{index, std::sqrt(squared_m2)};
    if (candidate.distance_m <= radius_m_) found_.push_back(candidate);
    return true;
  }
  std::vector<Neighbour> take() {
    std::sort(found_.begin(), found_.end(), nearer);
    return std::move(found_);
  }

 private:
  double radius_m_;
  std::vector<Neighbour> found_;
};

}  // namespace

struct GaugeIndex::Impl {
  using Metric = nanoflann::L2_Simple_Adaptor<double, Impl, double, std::size_t>;
  using Tree = nanoflann::KDTreeSingleIndexAdaptor<Metric, Impl, 2, std::size_t>;

  std::vector<MetricPoint> points;
  std::unique_ptr<Tree> tree;  // none for brute force

  std::size_t kdtree_get_point_count() const { return points.size(); }
  double kdtree_get_pt(std::size_t index, std::size_t axis) const {
    return axis == 0 ? points[index].x_m : points[index].y_m;
  }
  template <class Bounds>
  bool kdtree_get_bbox(Bounds&) const {
    return false;
  }

  template <class Result>
  std::vector<Neighbour> search(const MetricPoint& target, Result result) const {
    if (points.empty()) return {};
    if (tree) {
      const double at[2] = {target.x_m, target.y_m};
      tree->findNeighbors(result, at, nanoflann::SearchParams());
      return result.take();
    }
    for (std::size_t i = 0; i < points.size(); ++i) {
      const double dx = target.x_m - points[i].x_m;
      const double dy = target.y_m - points[i].y_m;
      result.addPoint(dx * dx + dy * dy, i);
    }
    return result.take();
  }
};

GaugeIndex::GaugeIndex(std::span<const MetricPoint> points, Search search)
    : impl_(std::make_unique<Impl>()) {
  impl_->points.assign(points.begin(), points.end());
  for ([[maybe_unused]] const MetricPoint& point : points)
    GAUGELOOM_ASSERT(std::isfinite(point.x_m) && std::isfinite(point.y_m));
  if (search == Search::tree && !points.empty())
    impl_->tree =
        std::make_unique<Impl::Tree>(2, *impl_, nanoflann::KDTreeSingleIndexAdaptorParams(8));
}

GaugeIndex::~GaugeIndex() = default;
GaugeIndex::GaugeIndex(GaugeIndex&&) noexcept = default;
GaugeIndex& GaugeIndex::operator=(GaugeIndex&&) noexcept = default;

std::size_t GaugeIndex::size() const { return impl_->points.size(); }

std::span<const MetricPoint> GaugeIndex::points() const { return impl_->points; }

std::vector<Neighbour> GaugeIndex::nearest(const MetricPoint& target, std::size_t count) const {
  return nearest_available(target, count, {});
}

std::vector<Neighbour> GaugeIndex::nearest_available(
    const MetricPoint& target, std::size_t count, std::span<const std::uint64_t> available) const {
  GAUGELOOM_ASSERT(available.empty() || available.size() * 64 >= size());
  if (count == 0) return {};
  return impl_->search(target, BestNeighbours(count, kInfinity, available));
}

std::vector<Neighbour> GaugeIndex::within(const MetricPoint& target, double radius_m) const {
  if (!(radius_m >= 0)) return {};
  return impl_->search(target, AllWithin(radius_m));
}

}  // namespace gaugeloom
