#include <vector>

#include "expect/falling_internal.hpp"

namespace gaugeloom {
namespace {

struct Pool {
  double sum;  // value times weight
  double weight;
  std::size_t values;
  double mean() const { return sum / weight; }
};

}  // namespace

void make_falling(std::span<double> values, std::span<const double> weights) {
  std::vector<Pool> pools;
  for (std::size_t i = 0; i < values.size(); ++i) {
    pools.push_back({values[i] * weights[i], weights[i], 1});
    while (pools.size() > 1 && pools[pools.size() - 2].mean() < pools.back().mean()) {
      const Pool last = pools.back();
      pools.pop_back();
      pools.back().sum += last.sum;
      pools.back().weight += last.weight;
      pools.back().values += last.values;
    }
  }
  std::size_t i = 0;
  for (const Pool& pool : pools) {
    for (std::size_t v = 0; v < pool.values; ++v) values[i++] = pool.mean();
  }
}

}  // namespace gaugeloom
