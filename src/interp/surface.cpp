#include "gaugeloom/interp/surface.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "gaugeloom/core/assert.hpp"
#include "gaugeloom/core/error.hpp"
#include "interp/global_surface_internal.hpp"
#include "interp/surface_kernel_internal.hpp"
#include "interp/surface_sets_internal.hpp"

namespace gaugeloom {

int usual_surface_neighbours(std::size_t gauges) {
  constexpr std::size_t kFewGauges = 128;
  return gauges <= kFewGauges ? 0 : 12;
}

double soft_edge_variance(double distance_m, double farthest_m, double sill) {
  const double share = distance_m / farthest_m;
  if (!(share > kSoftEdgeFrom)) return 0;
  const double past = (share - kSoftEdgeFrom) / (1 - share);
  return std::min(kSoftEdgeSill * past * past, kSoftEdgeMost) * sill;
}

std::optional<std::string> SurfaceOptions::problem() const {
  if (neighbours < 0 || neighbours > kMaxSurfaceNeighbours)
    return fmt::format("a map takes 1 to {} neighbours or all, not {}", kMaxSurfaceNeighbours,
                       neighbours);
  if (method == InterpolationMethod::ordinary_kriging) return variogram.problem();
  if (!(power >= 0) || power > 100) return fmt::format("power must be 0 to 100, not {}", power);
  return std::nullopt;
}

struct Surface::Impl {
  std::vector<double> x_m, y_m, value, noise;
  SurfaceField field;
  const SurfaceKernels* kernels = nullptr;
  std::optional<GlobalSurface> global;  // all gauges are neighbours, and there are many
};

Surface::Surface(std::span<const MetricPoint> gauges, std::span<const double> values,
                 std::span<const double> measurement_variance, const SurfaceOptions& options)
    : impl_(std::make_unique<Impl>()) {
  if (const auto problem = options.problem()) throw Error(ErrorCode::invalid_option, *problem);
  GAUGELOOM_ASSERT(!gauges.empty() && values.size() == gauges.size());
  GAUGELOOM_ASSERT(measurement_variance.empty() || measurement_variance.size() == gauges.size());
  if (options.neighbours == 0 && gauges.size() > std::size_t{kMaxSurfaceNeighbours}) {
    impl_->global.emplace(gauges, values, measurement_variance, options);
    return;
  }
  for (const MetricPoint& gauge : gauges) {
    impl_->x_m.push_back(gauge.x_m);
    impl_->y_m.push_back(gauge.y_m);
  }
  impl_->value.assign(values.begin(), values.end());
  impl_->noise.assign(measurement_variance.begin(), measurement_variance.end());
  impl_->noise.resize(gauges.size(), 0.0);
  const int count = static_cast<int>(std::min(gauges.size(), std::size_t{kMaxSurfaceNeighbours}));
  impl_->field = {
      impl_->x_m.data(),
      impl_->y_m.data(),
      impl_->value.data(),
      impl_->noise.data(),
      options.neighbours == 0 ? count : std::min(options.neighbours, count),
      options.neighbours > 0 && gauges.size() > static_cast<std::size_t>(options.neighbours),
      options};
  impl_->kernels = &surface_kernels(options.level ? *options.level : vector_level());
}

Surface::~Surface() = default;
Surface::Surface(Surface&&) noexcept = default;
Surface& Surface::operator=(Surface&&) noexcept = default;

void Surface::compute(const Grid& grid, const GridBlock& block, const SurfaceOut& out) const {
  GAUGELOOM_ASSERT(block.first_column + block.columns <= grid.columns);
  GAUGELOOM_ASSERT(block.first_row + block.rows <= grid.rows);
  if (impl_->global) return impl_->global->compute(grid, block, out);
  const auto part = [&](std::span<double> whole, std::size_t first) {
    GAUGELOOM_ASSERT(whole.empty() || whole.size() == block.cell_count());
    return whole.empty() ? nullptr : whole.data() + first;
  };
  std::vector<double> scratch;
  for_each_chunk(impl_->field, impl_->x_m.size(), *impl_->kernels, grid, block,
                 [&](const ChunkSets& sets) {
                   const GridBlock& chunk = sets.chunk;
                   const std::size_t first = (chunk.first_row - block.first_row) * block.columns +
                                             (chunk.first_column - block.first_column);
                   const SurfaceChunk place = {sets.column_x_m,
                                               sets.row_y_m,
                                               part(out.value, first),
                                               part(out.variance, first),
                                               part(out.nearest_gauge_m, first),
                                               block.columns};
                   if (impl_->field.options.method == InterpolationMethod::ordinary_kriging)
                     impl_->kernels->krige(impl_->field, sets.sets, place, scratch);
                   else
                     impl_->kernels->weigh_by_distance(impl_->field, sets.sets, place);
                 });
}

}  // namespace gaugeloom
