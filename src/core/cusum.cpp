#include "gaugeloom/core/cusum.hpp"

#include <algorithm>

namespace gaugeloom {

void Cusum::add(double z) {
  above_ = std::max(0.0, above_ + z - allowance_);
  below_ = std::max(0.0, below_ - z - allowance_);
}

}  // namespace gaugeloom
