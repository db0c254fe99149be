#include "gaugeloom/storms/rain_frames.hpp"

#include <algorithm>
#include <array>
#include <limits>

#include "gaugeloom/core/assert.hpp"

namespace gaugeloom {

RainFrames::RainFrames(const RainMap& map, std::span<const std::vector<double>> fields_mm)
    : map_(map) {
  for (const std::vector<double>& field : fields_mm) surfaces_.push_back(map.surface_of(field));
}

void RainFrames::fill(const Grid& grid, const GridBlock& block, std::span<float> out) const {
  const std::size_t count = block.cell_count();
  GAUGELOOM_ASSERT(out.size() == surfaces_.size() * count);
  constexpr std::array kSupport{MapBand::support};
  std::vector<float> support(count);
  map_.fill(grid, block, kSupport, support);
  const std::vector<double> factors = map_.height_factors(grid, block);
  std::vector<double> values(count);
  for (std::size_t f = 0; f < surfaces_.size(); ++f) {
    surfaces_[f].compute(grid, block, {values, {}, {}});
    for (std::size_t i = 0; i < count; ++i)
      out[f * count + i] = support[i] == 0
                               ? std::numeric_limits<float>::quiet_NaN()
                               : RainMap::total_mm(values[i], factors.empty() ? 1 : factors[i]);
  }
  // A gauge of negative weight takes rain away as its own grows.
  for (std::size_t i = out.size(); i-- > count;) out[i - count] = std::min(out[i - count], out[i]);
}

}  // namespace gaugeloom
